"""The edges of a roof plane by what they are: told by how the plane lies to each, and measured along the roof, not in plan."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from permitgen.system.site.geometry import area_signed, distance_between, edges

if TYPE_CHECKING:
    from permitgen.system.site.geometry import Outline, Point
    from permitgen.system.site.plan import RoofPlane

EDGES = ("ridge", "hip", "valley", "eave", "rake")
"""Names of edges. A rake is the sloped edge at a gable; a ridge also the upper edge of a roof that falls to one side."""

# Ends of an edge that lie on one line across or along the slope, to a tenth of a foot.
_LEVEL_FT = 0.1


def edges_called(plane: RoofPlane, name: str) -> tuple[tuple[Point, Point], ...]:
    """Return the edges of a plane that are what ``name`` says, one of ``EDGES``, in plan.

    Raises:
        MissingFactError: neither eave nor direction tells how the plane falls.
    """
    turn = 1.0 if area_signed(plane.outline) > 0 else -1.0
    return tuple((start, end) for start, end in edges(plane.outline) if start != end and _kind(plane, start, end, turn) == name)


def _kind(plane: RoofPlane, start: Point, end: Point, turn: float) -> str:
    """Return what an edge is: level, straight up the slope or aslant; the plane rises toward ridge and hip, and falls to the others."""
    run = (end[0] - start[0], end[1] - start[1])
    outward = (run[1] * turn, -run[0] * turn)
    rises = outward[0] * plane.up[0] + outward[1] * plane.up[1] > 0
    if abs(run[0] * plane.up[0] + run[1] * plane.up[1]) <= _LEVEL_FT:
        return "ridge" if rises else "eave"
    if abs(run[0] * plane.across[0] + run[1] * plane.across[1]) <= _LEVEL_FT:
        return "rake"
    return "hip" if rises else "valley"


def along_roof_ft(plane: RoofPlane, shape: Outline, edge: tuple[Point, Point]) -> float:
    """Return the shortest distance between a shape on a plane and one of its edges as a tape on the roof gives it, ft.

    Raises:
        MissingFactError: pitch or fall of the plane is not known.
    """
    stretched = math.sqrt(1 + plane.slope**2)

    def unrolled(point: Point) -> Point:
        across = point[0] * plane.across[0] + point[1] * plane.across[1]
        return across, stretched * (point[0] * plane.up[0] + point[1] * plane.up[1])

    return distance_between(tuple(map(unrolled, shape)), tuple(map(unrolled, edge)))
