"""The change that most often cures a finding on a circuit: larger conductors."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Remedy
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
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


def _remedy(tag: str, size: ConductorSize) -> Remedy:
    def change(system: System) -> System:
        circuit = system.circuits[tag]
        return system.with_sizes_of(replace(circuit, conductors=replace(circuit.conductors, size=size)))

    return Remedy(f"{size} for {tag}", change)
