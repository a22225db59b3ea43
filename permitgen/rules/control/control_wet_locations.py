"""Control conductors in wet runs are of a type for them; fine tails stay inside the enclosure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.insulation import insulation_row, is_wet
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.raceway import Raceway


@rule(
    "control-wet-locations",
    title="Control conductors in wet runs are of a type for them; fine tails stay inside the enclosure",
    provision="outdoor_raceway_is_wet",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge the insulation of a control circuit in wet runs.

    Requires: a type for wet locations in runs outdoors and underground.
    Why: most fine fixture wire is not made for water, which is why the field wire is larger and only its tails are fine.
    Applies to: control circuits with a wet run.
    Example that fails: TFFN in a conduit on the outside wall.
    Example that passes: THWN-2 in it, with tails inside the switch.
    """
    tags = given.need(control.runs or None, f"raceway of {control.tag}")
    parts = parts_for(tags, lambda tag: _in_run(control, given.system.raceways[tag], given))
    if not parts:
        return does_not_apply(f"{control.tag} has no wet run")
    return all_of(f"{control.tag}: insulation for wet locations", parts)


def _in_run(control: ControlCircuit, run: Raceway, given: Given) -> Judgement | None:
    if not is_wet(run):
        return None
    name = given.need(control.insulation or None, f"insulation of {control.tag}")
    cell = given.table("insulation_temperature_rating").number_at(insulation_row(given, name), "wet")
    return require(cell is not None, f"{control.tag}: {name} in {run.tag}, which is wet")
