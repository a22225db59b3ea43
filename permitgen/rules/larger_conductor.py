"""The changes that most often cure a finding on a circuit: other conductors."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Remedy
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.conductors import Conductors
    from permitgen.system.system import System

_TRIED = 4


def larger_conductors(circuit: Circuit) -> tuple[Remedy, ...]:
    """Return the next larger sizes of a circuit's ungrounded conductors as remedies to be tried, smallest first."""
    found: list[Remedy] = []
    size = circuit.conductors.size
    while size is not None and len(found) < _TRIED:
        size = size.larger()
        if size is not None:
            found.append(_remedy(circuit.tag, size))
    return tuple(found)


def with_conductors(circuit: Circuit, conductors: Conductors, words: str) -> Remedy:
    """Return the change of a circuit to these conductors; ``words`` name what is other."""

    def change(system: System) -> System:
        return system.with_sizes_of(replace(circuit, conductors=conductors))

    return Remedy(words, change)


def with_grounding(circuit: Circuit, size: ConductorSize, what: str = "grounding conductor") -> Remedy:
    """Return the change to a grounding conductor of this size; ``what`` it is called where it is none of the equipment."""
    conductors = circuit.conductors
    return with_conductors(circuit, replace(conductors, egc_size=size), f"{size} {conductors.egc_material} {what} for {circuit.tag}")


def with_neutral(circuit: Circuit, size: ConductorSize) -> Remedy:
    """Return the change to a neutral of this size."""
    conductors = circuit.conductors
    return with_conductors(circuit, replace(conductors, neutral_size=size), f"{size} {conductors.material} neutral for {circuit.tag}")


def _remedy(tag: str, size: ConductorSize) -> Remedy:
    def change(system: System) -> System:
        circuit = system.circuits[tag]
        return system.with_sizes_of(replace(circuit, conductors=replace(circuit.conductors, size=size)))

    return Remedy(f"{size} for {tag}", change)
