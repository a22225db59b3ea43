"""Conductors in wet places are of a type for them; the inside of a raceway outdoors or underground is wet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.conductor_ampacity import runs_of
from permitgen.rules.quantities.insulation import insulation_of, insulation_row, is_wet
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway


@rule(
    "wet-locations",
    title="Conductors in wet places are of a type for them; the inside of a raceway outdoors or underground is wet",
    provision="wet_location_insulation",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the insulation of a circuit in each wet run.

    Requires: an insulation type for wet locations in runs outdoors, underground or marked wet.
    Why: water stands in every raceway outdoors; insulation that soaks it fails to ground after years.
    Applies to: circuits with a wet run.
    Example that fails: THHN in a raceway on the roof.
    Example that passes: THWN-2 in the same raceway.
    """
    parts = parts_for(runs_of(given, circuit), lambda run: _judge_run(circuit, given, run))
    if not parts:
        return does_not_apply(f"{circuit.tag} runs in dry places only")
    return all_of(f"{circuit.tag}: insulation for wet locations", parts)


def _judge_run(circuit: Circuit, given: Given, run: Raceway) -> Judgement | None:
    """Judge one run. Whether it lies underground says which section makes it wet, and never whether it is."""
    if not is_wet(run):
        return None
    name = insulation_of(given, circuit, run)
    wet = given.table("insulation_temperature_rating").number_at(insulation_row(given, name), "wet")
    provision = "underground_is_wet" if run.underground else "outdoor_raceway_is_wet" if run.is_filled else "wet_location_insulation"
    return require(wet is not None, f"{circuit.tag}: {name} in {run.tag}, which is wet").under(given.provision(provision))
