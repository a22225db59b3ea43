"""Emergency escape openings above roofs, and the way down the roof that modules leave free below them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.site.geometry import Point, along, contains, distance_to_segment, edges
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.site.plan import RoofPlane

# An opening stands in the wall at the upper edge of the plane, which a drawing misses by a foot or so.
NEAR_FT = 1.5


@dataclass(frozen=True, slots=True)
class EscapeOpening:
    """An opening on the site plan: one point, or the two ends of its sill."""

    name: str
    points: tuple[Point, ...]

    def is_at(self, plane: RoofPlane) -> bool:
        """Whether the opening is on a roof plane or at its edge."""
        return any(
            contains(plane.outline, p) or any(distance_to_segment(p, *edge) <= NEAR_FT for edge in edges(plane.outline))
            for p in self.points
        )


def escape_openings(given: Given) -> tuple[EscapeOpening, ...]:
    """Return the emergency escape openings that the site plan draws."""
    found = [feature for feature in given.system.site.plan.features if feature.is_escape_opening]
    return tuple(
        EscapeOpening(feature.label or f"opening {number}", points)
        for number, feature in enumerate(found, start=1)
        if (points := (feature.point,) if feature.point is not None else feature.outline)
    )


def way_down_ft(plane: RoofPlane, opening: EscapeOpening) -> Value:
    """Return the width of the strip below an opening that no array covers, ft along the eave; zero where an array lies below it."""
    low, high = along(opening.points, plane.across)
    sill = max(along(opening.points, plane.up))
    left, right = along(plane.outline, plane.across)
    covered = False
    for shape in plane.arrays:
        if along(shape, plane.up)[0] >= sill:
            continue
        start, end = along(shape, plane.across)
        if end <= low:
            left = max(left, end)
        elif start >= high:
            right = min(right, start)
        else:
            covered = True
    width = 0.0 if covered else max(0.0, right - left)
    return Value(width, "ft", FromSystem(f"site plan, roof plane {plane.name}"), "w", f"free strip below {opening.name}")
