"""Plane geometry of the site plan: areas, distances, projections. Points are (x, y) in feet."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

Point = tuple[float, float]
Polygon = Sequence[Point]
Outline = tuple[Point, ...]

# Equipment on an outside wall is drawn within this distance of the outline.
AT_WALL_FT = 3.0


def area(polygon: Polygon) -> float:
    """Return the area of a simple polygon, ft² (shoelace formula)."""
    return abs(area_signed(polygon))


def area_signed(polygon: Polygon) -> float:
    """Return the area of a simple polygon, ft², positive where its corners run counterclockwise."""
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in edges(polygon)) / 2


def centroid(polygon: Polygon) -> Point:
    """Return the mean of the corners: inside any convex outline, which is what directions are taken from."""
    return (sum(x for x, _ in polygon) / len(polygon), sum(y for _, y in polygon) / len(polygon))


def edges(polygon: Polygon) -> list[tuple[Point, Point]]:
    """Return the edges of a polygon, the closing one last."""
    return [(polygon[i], polygon[(i + 1) % len(polygon)]) for i in range(len(polygon))]


def distance_to_segment(point: Point, start: Point, end: Point) -> float:
    """Return the distance of a point to a segment, ft."""
    length2 = (end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2
    share = 0.0
    if length2 > 0:
        share = ((point[0] - start[0]) * (end[0] - start[0]) + (point[1] - start[1]) * (end[1] - start[1])) / length2
    share = min(1.0, max(0.0, share))
    return math.hypot(point[0] - start[0] - share * (end[0] - start[0]), point[1] - start[1] - share * (end[1] - start[1]))


def contains(polygon: Polygon, point: Point) -> bool:
    """Whether a point lies inside a polygon (ray to the east); points on an edge may fall on either side."""
    inside = False
    for (x1, y1), (x2, y2) in edges(polygon):
        if (y1 > point[1]) != (y2 > point[1]) and point[0] < (x2 - x1) * (point[1] - y1) / (y2 - y1) + x1:
            inside = not inside
    return inside


def distance_to_outline(polygon: Polygon, point: Point) -> float:
    """Return how far a point lies from a building, ft; nothing where it lies inside."""
    return 0.0 if contains(polygon, point) else min(distance_to_segment(point, *edge) for edge in edges(polygon))


def inside_ft(polygon: Polygon, point: Point) -> float:
    """Return how far a point lies inside an outline, ft; 0 outside."""
    return min(distance_to_segment(point, *edge) for edge in edges(polygon)) if contains(polygon, point) else 0.0


def length_of_way(way: Sequence[Point]) -> float:
    """Return the length of a way in plan, ft."""
    return sum(math.dist(one, other) for one, other in itertools.pairwise(way))


def distance_between(first: Polygon, second: Polygon) -> float:
    """Return the distance between two polygons, ft; zero where they touch or overlap."""
    if any(contains(second, point) for point in first) or any(contains(first, point) for point in second):
        return 0.0
    if any(_cross(*a, *b) for a in edges(first) for b in edges(second)):
        return 0.0
    there = [distance_to_segment(point, *edge) for point in first for edge in edges(second)]
    return min(there + [distance_to_segment(point, *edge) for point in second for edge in edges(first)])


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def along(polygon: Polygon, direction: Point) -> tuple[float, float]:
    """Return the smallest and largest coordinate of a polygon along a unit vector, ft."""
    values = [x * direction[0] + y * direction[1] for x, y in polygon]
    return min(values), max(values)
