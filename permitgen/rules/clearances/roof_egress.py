"""Below an emergency escape opening the roof is free of modules, and a way of 36 in leads to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.clearances import length_in
from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.quantities.roof_openings import EscapeOpening, escape_openings, way_down_ft
from permitgen.rules.quantities.siting_roof import planes_of
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_array_on_building

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.site.plan import RoofPlane


@rule(
    "roof-egress",
    title="Below an emergency escape opening the roof is free of modules, and a way of 36 in leads to it",
    provision="roof_egress",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the roof below the emergency escape openings of the building that carries an array.

    Requires: a strip of 36 in from each opening down to the eave that no module covers.
    Why: a person who climbs out of a bedroom window in smoke must find a way off the roof, and the crew a way to the window.
    Applies to: arrays on roofs above which bedrooms or attics have their escape opening.
    Example that fails: modules below the dormer window of a bedroom.
    Example that passes: a strip of 3 ft beside them from the window to the eave.
    """
    if not given.need(is_array_on_building(array), f"whether {array.tag} is on a building"):
        return does_not_apply(f"{array.tag}: not on a building")
    openings = escape_openings(given)
    if not openings:
        if given.system.site.plan.escape_openings_above_roofs is False:
            return does_not_apply(f"{array.tag}: no emergency escape opening above a roof")
        given.need(None, "emergency escape openings above roofs on the site plan, or that there are none")
    parts = [_below(given, array, plane, opening) for plane in planes_of(given, array) for opening in openings if opening.is_at(plane)]
    if not parts:
        return does_not_apply(f"{array.tag}: no emergency escape opening above its roof planes")
    return all_of(f"{array.tag}: ways down from the emergency escape openings", parts)


def _below(given: Given, array: PVArray, plane: RoofPlane, opening: EscapeOpening) -> Judgement:
    width = length_in.derive(length_ft=way_down_ft(plane, opening), symbol="w", title=f"free strip below {opening.name}")
    limit = given.provision("roof_egress").value("width_in")
    message = f"{array.tag}: {width.number:.1f} in free on the {plane.name} roof below {opening.name}, {limit.length} needed"
    return require_at_least(message, computed=width, limit=limit)
