"""Parallel conductors are 1/0 AWG or larger and alike in everything that divides the current between them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.length_of_ways import way_ft
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import selected

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

    Requires: each 1/0 AWG or larger; the same length, material, size, insulation and termination in every set; ways side by side
    equally long and through the same kinds of raceway.
    Why: unlike conductors share the current unequally, and the better one burns.
    Applies to: circuits of two and more sets.
    Example that fails: two sets of 2 AWG; sets in raceways of 60 ft and 75 ft.
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
    parts = [*parts_of(lambda: _large(circuit, given)), alike]
    if circuit.is_split:
        parts += parts_of(lambda: _equally_long(circuit, given), lambda: _of_one_kind(circuit, given))
    return all_of(f"{circuit.tag}: {conductors.sets} sets of {conductors.size}, alike", parts)


def _large(circuit: Circuit, given: Given) -> Judgement:
    conductors = circuit.conductors
    size = given.need(conductors.size, f"conductor size of {circuit.tag}")
    smallest = ConductorSize(given.provision("parallel_conductors").text("smallest_size"))
    sizes = [size, conductors.neutral_size] if conductors.has_neutral and conductors.neutral_size else [size]
    message = f"{circuit.tag}: {conductors.sets} sets of {size}, at least {smallest} each"
    return require(all(each >= smallest for each in sizes), message)


def _equally_long(circuit: Circuit, given: Given) -> Judgement:
    """The lengths of runs are the lengths of the conductors in them: who cuts all sets alike states one length for all ways."""
    lengths = [way_ft(given, way, f"way of the set {way.name} of {circuit.tag}") for way in circuit.ways]
    named = ", ".join(f"{way.name} {length.length}" for way, length in zip(circuit.ways, lengths, strict=True))
    longest = selected(
        max(length.number for length in lengths), "ft", by="longest of", inputs=tuple(lengths), symbol="L_1", title="longest way"
    )
    shortest = selected(
        min(length.number for length in lengths), "ft", by="shortest of", inputs=tuple(lengths), symbol="L_2", title="shortest way"
    )
    return require_at_most(f"{circuit.tag}: ways of its sets equally long ({named})", computed=longest, limit=shortest)


def _of_one_kind(circuit: Circuit, given: Given) -> Judgement:
    """Steel around one set adds reactance that the others do not have."""
    kinds = [sorted({given.system.raceways[tag].kind for tag in way.runs}) for way in circuit.ways]
    named = "; ".join(f"{way.name} in {', '.join(each)}" for way, each in zip(circuit.ways, kinds, strict=True))
    alike = all(each == kinds[0] for each in kinds)
    return require(alike, f"{circuit.tag}: the sets lie in {'the same' if alike else 'different'} kinds of raceway ({named})")
