"""Roof planes and arrays as the site plan draws them: slopes, ridges, and the strips that arrays leave free."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.plan_geometry import Point, along, area, edges, points_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray

COMPASS = {
    "north": 0.0,
    "northeast": 45.0,
    "east": 90.0,
    "southeast": 135.0,
    "south": 180.0,
    "southwest": 225.0,
    "west": 270.0,
    "northwest": 315.0,
}
# Corners that lie on one line parallel to the eave, to a tenth of a foot.
_LEVEL_FT = 0.1


@dataclass(frozen=True, slots=True)
class RoofPlane:
    """A roof plane in plan. ``down`` is the unit vector in which it falls, ``slope`` its rise over run."""

    name: str
    building: str
    outline: tuple[Point, ...]
    slope: float
    down: Point
    arrays: tuple[tuple[Point, ...], ...]

    @property
    def across(self) -> Point:
        """The unit vector along the eave."""
        return (-self.down[1], self.down[0])

    @property
    def up(self) -> Point:
        """The unit vector toward the ridge."""
        return (-self.down[0], -self.down[1])


def roof_planes(given: Given) -> dict[str, RoofPlane]:
    """Return the roof planes of the site plan by name, remembered.

    Raises:
        MissingFactError: a plane lacks its pitch or the direction it faces.
    """
    return given.once_for_topology("roof planes", lambda: _read(given))


def _read(given: Given) -> dict[str, RoofPlane]:
    plan = dict(given.system.site.plan)
    planes = plan.get("roof_planes")
    north = plan.get("north", 0.0)
    if not isinstance(planes, dict):
        return {}
    turned = float(north) if isinstance(north, int | float) else 0.0
    return {name: _plane(name, entry, turned) for name, entry in planes.items() if isinstance(entry, dict)}


def _plane(name: str, entry: dict[str, object], north: float) -> RoofPlane:
    arrays = entry.get("arrays")
    shapes = tuple(points_of(shape) for shape in arrays) if isinstance(arrays, list | tuple) else ()
    bearing = COMPASS.get(str(entry.get("faces", "")).casefold().replace("-", "").replace(" ", ""))
    if bearing is None:
        raise MissingFactError(f"compass direction that the roof plane {name} faces")
    angle = math.radians(bearing - north)
    down = (round(math.sin(angle), 12), round(math.cos(angle), 12))
    return RoofPlane(
        name, str(entry.get("building", "house")), points_of(entry.get("outline")), _slope(name, str(entry.get("pitch", ""))), down, shapes
    )


def _slope(name: str, pitch: str) -> float:
    rise, _, run = pitch.replace(":", "/").partition("/")
    try:
        return float(rise) / float(run)
    except (ValueError, ZeroDivisionError):
        raise MissingFactError(f"pitch of the roof plane {name} (as 5/12)") from None


def planes_of(given: Given, array: PVArray) -> tuple[RoofPlane, ...]:
    """Return the roof planes on which an array lies.

    Raises:
        MissingFactError: the array names none, or the site plan does not draw them with their arrays.
    """
    if not array.roof_planes:
        raise MissingFactError(f"roof planes of {array.tag}")
    planes = roof_planes(given)
    missing = [name for name in array.roof_planes if name not in planes or not planes[name].outline or not planes[name].arrays]
    if missing:
        raise MissingFactError(f"outline and arrays of the roof plane {missing[0]} on the site plan")
    return tuple(planes[name] for name in array.roof_planes)


def ridge_of(plane: RoofPlane) -> tuple[Point, Point] | None:
    """Return the level edge at the top of a plane, None where it ends in a point (the hip of a pyramid)."""
    _, top = along(plane.outline, plane.up)
    for start, end in edges(plane.outline):
        heights = [point[0] * plane.up[0] + point[1] * plane.up[1] for point in (start, end)]
        if min(heights) >= top - _LEVEL_FT and start != end:
            return start, end
    return None


def distance_to_ridge_ft(plane: RoofPlane) -> float:
    """Return the smallest distance in plan between the arrays of a plane and its ridge, up the slope, ft."""
    _, top = along(plane.outline, plane.up)
    return min(top - along(shape, plane.up)[1] for shape in plane.arrays)


def free_spans_ft(plane: RoofPlane) -> list[tuple[float, float]]:
    """Return where along the eave the strips lie that no array covers, ft along ``plane.across``."""
    reach = _full_height(plane)
    if reach is None:
        return []
    left, right = reach
    free: list[tuple[float, float]] = []
    for low, high in sorted(along(shape, plane.across) for shape in plane.arrays):
        free.append((left, min(low, right)))
        left = max(left, high)
    free.append((left, right))
    return [(low, high) for low, high in free if high > low]


def _full_height(plane: RoofPlane) -> tuple[float, float] | None:
    """Where along the eave a strip reaches from the eave to the ridge."""
    ridge = ridge_of(plane)
    if ridge is None:
        return None
    bottom, _ = along(plane.outline, plane.up)
    level = [p for p in plane.outline if p[0] * plane.up[0] + p[1] * plane.up[1] <= bottom + _LEVEL_FT]
    if len(level) < 2:
        return None
    low, high = zip(along(ridge, plane.across), along(level, plane.across), strict=True)
    found = (max(low), min(high))
    return found if found[1] > found[0] else None


def roof_area_ft2(given: Given, building: str) -> Value:
    """Return the area of all roof planes of a building in plan, ft²."""
    total = sum(area(plane.outline) for plane in roof_planes(given).values() if plane.building == building)
    return Value(total, "ft2", FromSystem(f"roof planes of {building} on the site plan"), "A_roof", f"roof of {building} in plan")


def array_area_ft2(given: Given, building: str) -> Value:
    """Return the area of all arrays on a building in plan, ft²."""
    planes = [plane for plane in roof_planes(given).values() if plane.building == building]
    total = sum(area(shape) for plane in planes for shape in plane.arrays)
    return Value(total, "ft2", FromSystem(f"arrays on {building} on the site plan"), "A_array", f"arrays on {building} in plan")
