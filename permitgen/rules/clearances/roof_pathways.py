"""Firefighters find ways from the eave to the ridge: two on separate planes, one toward the street, one for each plane with modules.

A pathway is a strip of 36 in or more that no module covers, on the plane itself or the one beside it. Roofs of 2 in 12 or less need
none.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.clearances import length_in
from permitgen.rules.judgement import Judgement, all_of, at_least, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.quantities.plan_distances import foot_on
from permitgen.rules.quantities.plan_geometry import Point, centroid, distance_between, distance_to_segment, edges, points_of
from permitgen.rules.quantities.siting_roof import RoofPlane, free_strips_ft, planes_of, roof_planes
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_array_on_building
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray

# Planes whose outlines come this near each other are adjacent.
ADJACENT_FT = 0.5
# A plane falls toward a street by more than what floating point leaves of a right angle.
_ALONG_FT = 1e-6


@rule("roof-pathways", provision="roof_pathways", judges="pv_array")
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the pathways of the roof that carries an array.

    Requires: two strips of 36 in from eave to ridge on separate planes; one on the side of the street or driveway; one on each plane
        with modules or on a plane beside it.
    Why: a crew with a saw must reach the ridge without walking on modules.
    Applies to: arrays on roofs of dwellings steeper than 2 in 12.
    Example that fails: south and north plane covered from gable to gable.
    Example that passes: 3 ft free at one gable of the south plane, nothing on the north plane.
    """
    if not given.need(is_array_on_building(array), f"whether {array.tag} stands on a building"):
        return does_not_apply(f"{array.tag}: not on a building")
    covered = planes_of(given, array)
    flat = given.provision("roof_pathways").value("flat_slope_factor").number
    if all(plane.slope <= flat + 1e-9 for plane in covered):
        return does_not_apply(f"{array.tag}: roof of 2 in 12 or less")
    building = covered[0].building
    planes = [plane for plane in roof_planes(given).values() if plane.building == building and plane.outline]
    widths = {plane.name: _widest(plane) for plane in planes}
    needed = given.provision("roof_pathways").value("width_in")
    open_planes = [plane for plane in planes if at_least(widths[plane.name], needed)]
    parts = [_number(array, given, open_planes), *(_for_plane(array, plane, planes, widths, needed) for plane in covered)]
    parts.append(_toward_street(array, given, open_planes))
    return all_of(f"{array.tag}: pathways on {', '.join(plane.name for plane in open_planes)}", parts)


def _widest(plane: RoofPlane) -> Value:
    width = max(free_strips_ft(plane), default=0.0)
    found = Value(width, "ft", FromSystem(f"site plan, roof plane {plane.name}"), "w", f"widest free strip of the {plane.name} roof")
    return length_in.derive(length_ft=found, symbol="w", title=f"widest free strip of the {plane.name} roof")


def _number(array: PVArray, given: Given, open_planes: list[RoofPlane]) -> Judgement:
    count = Value(float(len(open_planes)), "count", FromSystem("counted on the site plan"), "n", "roof planes with a pathway")
    limit = given.provision("roof_pathways").value("smallest_count")
    message = f"{array.tag}: pathways on {len(open_planes)} roof planes, {limit.number:g} needed"
    return require_at_least(message, computed=count, limit=limit, method="number of planes")


def _for_plane(array: PVArray, plane: RoofPlane, planes: list[RoofPlane], widths: dict[str, Value], needed: Value) -> Judgement:
    """The widest strip on the plane itself or on one beside it."""
    beside = [other for other in planes if other is plane or distance_between(other.outline, plane.outline) <= ADJACENT_FT]
    best = max(beside, key=lambda other: (widths[other.name].number >= needed.number, other is plane, widths[other.name].number))
    where = "" if best is plane else f", on the {best.name} roof beside it"
    width = widths[best.name]
    message = f"{array.tag}: {width.number:.1f} in free from eave to ridge for the {plane.name} roof{where}, {needed.number:g} in needed"
    return require_at_least(message, computed=width, limit=needed, method=f"for the {plane.name} roof")


def _toward_street(array: PVArray, given: Given, open_planes: list[RoofPlane]) -> Judgement:
    """A plane falls toward the street or driveway when its downhill direction points to the nearest of them."""
    streets = [shape for shape in _streets(given) if shape]
    if not streets:
        return not_judged("street or driveway on the site plan")
    facing = [plane.name for plane in open_planes if any(_falls_toward(plane, street) for street in streets)]
    message = f"{array.tag}: {'a' if facing else 'no'} pathway on the side of the street or driveway{': ' + facing[0] if facing else ''}"
    return require(bool(facing), message, method="toward the street")


def _streets(given: Given) -> list[tuple[Point, ...]]:
    features = dict(given.system.site.plan).get("features")
    if not isinstance(features, list | tuple):
        return []
    kinds = ("street", "road", "driveway")
    return [points_of(entry.get("outline")) for entry in features if isinstance(entry, dict) and entry.get("kind") in kinds]


def _falls_toward(plane: RoofPlane, street: tuple[Point, ...]) -> bool:
    middle = centroid(plane.outline)
    nearest = min(edges(street), key=lambda edge: distance_to_segment(middle, *edge))
    # The nearest point of the street, not the middle of its edge: beside a long street a plane that falls along it does not face it.
    target = foot_on(middle, *nearest)
    return (target[0] - middle[0]) * plane.down[0] + (target[1] - middle[1]) * plane.down[1] > _ALONG_FT
