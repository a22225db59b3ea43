"""The way on foot from one point of a site to another, around the buildings. Feet on the plan."""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence

from permitgen.system.site.geometry import Outline, Point, centroid, contains, inside_ft

_OFF_WALL_FT = 2.5
_STEP_FT = 0.5
_AT_WALL_FT = 0.6
"""A point nearer than this to a wall stands at it, outside or inside."""


def way_around(buildings: Sequence[Outline], start: Point, end: Point) -> tuple[Point, ...]:
    """Return the corners of the shortest way from ``start`` to ``end`` past the buildings, both ends among them.

    A building in which one of the ends stands is no obstacle: how one walks indoors no site plan shows.
    """
    obstacles = [outline for outline in buildings if not _is_within(outline, start) and not _is_within(outline, end)]
    corners = [corner for outline in obstacles for corner in _corners(outline)]
    points = [start, end, *(corner for corner in corners if not any(contains(outline, corner) for outline in obstacles))]
    best: dict[int, tuple[float, int]] = {0: (0.0, 0)}
    waiting, done = [(0.0, 0)], set()
    while waiting:
        length, here = heapq.heappop(waiting)
        if here in done:
            continue
        done.add(here)
        if here == 1:
            break
        for there, point in enumerate(points):
            if there not in done and _is_free(obstacles, points[here], point):
                longer = length + math.dist(points[here], point)
                if longer < best.get(there, (math.inf, 0))[0] - 1e-9:
                    best[there] = (longer, here)
                    heapq.heappush(waiting, (longer, there))
    return _back(points, best) if 1 in best else (start, end)


def _back(points: Sequence[Point], best: dict[int, tuple[float, int]]) -> tuple[Point, ...]:
    found, here = [points[1]], 1
    while here != 0:
        here = best[here][1]
        found.append(points[here])
    return tuple(reversed(found))


def _is_within(outline: Outline, point: Point) -> bool:
    return inside_ft(outline, point) > _AT_WALL_FT


def _corners(outline: Outline) -> list[Point]:
    """Return points off the corners of an outline, away from its middle."""
    x, y = centroid(outline)
    found = []
    for corner in outline:
        away = math.dist(corner, (x, y)) or 1.0
        reach = 1.0 + _OFF_WALL_FT * math.sqrt(2) / away
        found.append((x + (corner[0] - x) * reach, y + (corner[1] - y) * reach))
    return found


def _is_free(obstacles: Sequence[Outline], start: Point, end: Point) -> bool:
    """Whether the straight way crosses no building; what runs along a wall does not cross it."""
    steps = max(1, math.ceil(math.dist(start, end) / _STEP_FT))
    on_way = [(start[0] + (end[0] - start[0]) * n / steps, start[1] + (end[1] - start[1]) * n / steps) for n in range(1, steps)]
    return not any(_is_within(outline, point) for outline in obstacles for point in on_way)
