"""Modules keep away from the ridge so that firefighters can cut the roof there.

18 in where modules take a third of the roof or less, seen in plan, and 36 in where they take more; in a dwelling with sprinklers the
share is two thirds.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.clearances import along_slope_in
from permitgen.code.equations.roof import array_share_percent
from permitgen.rules.judgement import Judgement, all_of, at_most, does_not_apply, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.building_use import has_sprinklers
from permitgen.rules.quantities.roof_access import access_exemption
from permitgen.rules.quantities.siting_roof import (
    array_area_ft2,
    distance_to_ridge_ft,
    planes_of,
    ridge_of,
    roof_area_ft2,
)
from permitgen.rules.rule import rule
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.site.plan import RoofPlane


@rule(
    "roof-ridge-setback",
    title="Modules keep away from the ridge so that firefighters can cut the roof there",
    provision="roof_ridge_setback",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the distance of an array to the ridge, along the roof.

    Requires: distance ≥ 18 in where all arrays take at most 33 percent of the roof in plan, else ≥ 36 in.
    Why: smoke and heat are let out at the ridge.
    Applies to: arrays on sloped roofs; not of detached garages, barns and the like, where nobody lives.
    Example that fails: arrays of 612 ft² on a roof of 1800 ft² in plan, 34 percent, 24 in from the ridge.
    Example that passes: arrays of 540 ft² on the same roof, 30 percent, 24 in from the ridge.
    """
    exempt = access_exemption(array, given)
    if exempt is not None:
        return exempt
    planes = [plane for plane in planes_of(given, array) if ridge_of(plane) is not None]
    if not planes:
        return does_not_apply(f"{array.tag}: its roof planes have no horizontal ridge")
    parts = parts_for(planes, lambda plane: _plane(array, plane, given))
    return all_of(f"{array.tag}: setback at the ridge kept", parts)


def _plane(array: PVArray, plane: RoofPlane, given: Given) -> Judgement:
    provision = given.provision("roof_ridge_setback")
    share = array_share_percent.derive(
        array_area_ft2=array_area_ft2(given, plane.building), roof_area_ft2=roof_area_ft2(given, plane.building), provision=provision
    )
    sprinklered = has_sprinklers(given, plane.building)
    largest = provision.value("sprinklered_share_percent" if sprinklered else "share_percent")
    limit = provision.value("small_in" if at_most(share, largest) else "large_in")
    plan = Value(
        distance_to_ridge_ft(plane), "ft", FromSystem(f"site plan, roof plane {plane.name}"), "s_plan", "distance to the ridge in plan"
    )
    slope = Value(plane.slope, "factor", FromSystem(f"pitch of the roof plane {plane.name}"), "m", "rise over run")
    distance = along_slope_in.derive(plan_ft=plan, slope_factor=slope, title="distance to the ridge along the roof")
    return require_at_least(
        f"{array.tag}: {distance.number:.1f} in below the ridge of the {plane.name} roof,"
        f" {limit.length} needed where modules take {share.number:.1f} % of the roof",
        computed=distance,
        limit=limit,
        values=(share,),
    )
