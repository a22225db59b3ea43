"""Parallel conductors are 1/0 AWG or larger and alike in everything that divides the current between them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.parts import parts_of
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "parallel-conductors",
    title="Parallel conductors are 1/0 AWG or larger and alike in everything that divides the current between them",
    provision="parallel_conductors",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the sets of a circuit with more than one conductor for each pole.

    Requires: each 1/0 AWG or larger; the same length, material, size, insulation and termination in every set.
    Why: unlike conductors share the current unequally, and the better one burns.
    Applies to: circuits of two and more sets.
    Example that fails: two sets of 2 AWG.
    Example that passes: two sets of 3/0 AWG, stated to be alike.
    """
    conductors = circuit.conductors
    if conductors.sets == 1:
        return does_not_apply(f"{circuit.tag} has one set of conductors")
    alike = require(
        conductors.sets_are_alike,
        f"{circuit.tag}: the sets are {'alike' if conductors.sets_are_alike else 'not alike'}",
        missing=f"whether the parallel sets of {circuit.tag} are alike",
    )
    return all_of(f"{circuit.tag}: {conductors.sets} sets of {conductors.size}, alike", [*parts_of(lambda: _large(circuit, given)), alike])


def _large(circuit: Circuit, given: Given) -> Judgement:
    conductors = circuit.conductors
    size = given.need(conductors.size, f"conductor size of {circuit.tag}")
    smallest = ConductorSize(given.provision("parallel_conductors").text("smallest_size"))
    sizes = [size, conductors.neutral_size] if conductors.has_neutral and conductors.neutral_size else [size]
    message = f"{circuit.tag}: {conductors.sets} sets of {size}, at least {smallest} each"
    return require(all(each >= smallest for each in sizes), message)
