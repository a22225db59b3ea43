"""Storage outdoors keeps its distance from doors and windows that lead into the dwelling."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply
from permitgen.rules.quantities.plan_openings import judge_distance_to_openings
from permitgen.rules.quantities.siting_places import storage_units
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "storage-openings",
    title="Storage outdoors keeps its distance from doors and windows that lead into the dwelling",
    provision="ess_opening_clearance",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge the distance of a storage unit outdoors to the nearest door or window of the dwelling, as stated, else as the plan gives it.

    Requires: distance ≥ 3 ft.
    Why: smoke and gas enter by the nearest opening, and people leave by it.
    Applies to: storage units outdoors.
    Example that fails: unit 2.9 ft from a window.
    Example that passes: unit 3 ft from a door.
    """
    if unit not in storage_units(given):
        return does_not_apply(f"{unit.tag}: too small for the section")
    place = given.need(unit.place, f"place of {unit.tag}")
    if not given.need(place.outdoors, f"whether {unit.tag} is outdoors"):
        return does_not_apply(f"{unit.tag}: indoors")
    limit = given.provision("ess_opening_clearance").value("from_openings_ft")
    return judge_distance_to_openings(unit, given, limit, f"{limit.length} needed")
