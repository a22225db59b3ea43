"""Roof planes and arrays as the site plan draws them: slopes, ridges, and the strips that arrays leave free."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.system.site.geometry import Point, along, area, edges
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.site.plan import RoofPlane

# Corners that lie on one line parallel to the eave, to a tenth of a foot.
_LEVEL_FT = 0.1


def roof_planes(given: Given) -> dict[str, RoofPlane]:
    """Return the roof planes of the site plan by name, remembered.

    Raises:
        MissingFactError: a plane lacks its pitch or the direction it faces.
    """
    return given.once_for_topology("roof planes", lambda: _read(given))


def _read(given: Given) -> dict[str, RoofPlane]:
    return {plane.name: plane.with_known_fall() for plane in given.system.site.plan.roof_planes}


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
