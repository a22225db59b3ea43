"""Storage units stand 3 ft apart, or as close as their listing and fire test permit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.clearances import length_in
from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require_at_least
from permitgen.rules.quantities.siting_places import storage_units
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "storage-spacing",
    title="Storage units stand 3 ft apart, or as close as their listing and fire test permit",
    provision="ess_spacing",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge the distance of a storage unit to the next one.

    Requires: distance ≥ 3 ft, or ≥ the spacing of the listing where large-scale fire testing shows less to be enough. Less is for
        whoever shows the listing: where none is stated, 3 ft hold.
    Why: a burning unit must not set its neighbor on fire.
    Applies to: storage units beside others, be they of the same system.
    Example that fails: units 2-1/2 ft apart, no spacing in the listing.
    Example that passes: units 1 ft apart, listed for 6 in.
    """
    units = storage_units(given)
    if unit not in units or (len(units) == 1 and unit.unit_count == 1):
        return does_not_apply(f"{unit.tag}: no other unit is near it")
    distance = length_in.derive(
        length_ft=given.need(unit.place.fact("to_next_unit") if unit.place else None, f"distance of {unit.tag} to the next unit")
    )
    if "listed_spacing" in unit.unknown:
        return not_judged(f"spacing by the listing of {unit.tag}")
    if unit.spacing_listed_in is not None:
        limit = unit.spacing_listed_in.named("s_listed", f"spacing by the listing of {unit.tag}")
        by = "by its listing"
    else:
        limit = length_in.derive(
            length_ft=given.provision("ess_spacing").value("between_units_ft"), provision=given.provision("ess_spacing")
        )
        by = "without a spacing in its listing" if "listed_spacing" in unit.absent else "as no spacing by its listing is stated"
    return require_at_least(f"{unit.tag}: {distance.length} to the next unit, {limit.length} {by}", computed=distance, limit=limit)
