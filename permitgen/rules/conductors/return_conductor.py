"""Ac loads have a conductor to return by: a neutral beside one ungrounded conductor, and in what feeds 120 V loads."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Remedy, RemedyKind, does_not_apply, require
from permitgen.rules.quantities.line_to_neutral_loads import without_return
from permitgen.rules.rule import rule
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.system import System


@rule(
    "return-conductor",
    title="Ac loads have a conductor to return by: a neutral beside one ungrounded conductor, and in what feeds 120 V loads",
    provision="return_conductor",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge whether the current of an ac circuit has a conductor to return by.

    Requires: a grounded (neutral) conductor beside a single ungrounded one, and in a service or feeder behind which 120 V loads stand.
    Why: without it the current returns over the grounding conductor and every metal case on it, or the loads on the two legs stand in
        series and float between 0 and 240 V.
    Applies to: ac circuits of one ungrounded conductor; services and feeders without a neutral. Loads of 240 V return by the other leg.
    Example that fails: a two-wire feeder to the interconnect device of a backup panel with 120 V circuits.
    Example that passes: the same with a neutral.
    """
    if circuit.is_dc:
        return does_not_apply(f"{circuit.tag} has dc conductors to return by")
    if circuit.conductors.ungrounded_count == 1:
        neutral = circuit.conductors.has_neutral
        return require(neutral, f"{circuit.tag}: one ungrounded conductor {'and a neutral' if neutral else 'without a neutral'}")
    panels = without_return(given, circuit)
    if not panels:
        return does_not_apply(f"{circuit.tag} has {circuit.conductors.ungrounded_count} conductors to return by")
    message = f"{circuit.tag} has no neutral; 120 V loads behind it, in {listed(panels)}, have none with the utility"
    return require(fact=False, message=message, remedies=(_with_neutral(circuit),))


def _with_neutral(circuit: Circuit) -> Remedy:
    def change(system: System) -> System:
        return system.with_circuit(replace(circuit, conductors=replace(circuit.conductors, neutral=True)))

    return Remedy(f"a neutral conductor in {circuit.tag}", change, RemedyKind.OTHER)
