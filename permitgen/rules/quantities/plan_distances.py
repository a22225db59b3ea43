"""Lengths and distances that the plans show, measured on the geometry of the project file, each as a traced value."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from permitgen.system.site.facing import ON_WALL_FT, facing_on_page
from permitgen.system.site.geometry import Point, Polygon, distance_to_segment, edges
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.system import System


def measured(start: Point, end: Point, title: str) -> Value:
    """Return the distance of two points of the plan, ft."""
    return Value(math.dist(start, end), "ft", FromSystem("measured on the site plan"), "d", title)


def foot_on(point: Point, start: Point, end: Point) -> Point:
    """Return the point of a segment that is nearest to a point."""
    length2 = (end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2
    share = ((point[0] - start[0]) * (end[0] - start[0]) + (point[1] - start[1]) * (end[1] - start[1])) / length2 if length2 else 0.0
    share = min(1.0, max(0.0, share))
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def nearest_to_line(outline: Polygon, start: Point, end: Point) -> tuple[Point, Point]:
    """Return the corner of an outline nearest to a line and the foot of its distance on the line."""
    corner = min(outline, key=lambda point: (round(distance_to_segment(point, start, end), 6), point))
    return corner, foot_on(corner, start, end)


def footprint(item: Equipment, at: Point, facing: Point, walls: list[tuple[Point, Point]]) -> tuple[Point, ...] | None:
    """Return the outline of equipment in plan, ft: width across the way it faces, depth along it. None where its size is not stated.

    At a wall the point of the place is the middle of the back; elsewhere the middle of the equipment.
    """
    width, depth = item.fact("width"), item.fact("depth")
    if width is None or depth is None:
        return None
    half, deep = width.number / 24, depth.number / 12
    against = any(distance_to_segment(at, *wall) <= ON_WALL_FT for wall in walls)
    back = at if against else (at[0] - facing[0] * deep / 2, at[1] - facing[1] * deep / 2)
    front = (back[0] + facing[0] * deep, back[1] + facing[1] * deep)
    across = (-facing[1], facing[0])
    return tuple(
        (p[0] + sign * across[0] * half, p[1] + sign * across[1] * half) for p, sign in ((back, -1), (front, -1), (front, 1), (back, 1))
    )


def footprint_on_plan(system: System, item: Equipment) -> tuple[Point, ...] | None:
    """Return the outline of equipment where it stands on the site plan; None where place, direction or size is not stated."""
    place = item.place
    if place is None or place.x_ft is None or place.y_ft is None:
        return None
    facing = facing_on_page(system.site.plan, place)
    if facing == (0.0, 0.0):
        return None
    walls = [edge for building in system.site.plan.buildings for edge in edges(building.outline)]
    return footprint(item, (place.x_ft.number, place.y_ft.number), facing, walls)


def space_before(outline: Polygon, facing: Point, width_ft: float, depth_ft: float) -> tuple[Point, ...]:
    """Return the rectangle before the front of a footprint, centered on it, ft. The footprint's second and third corner are its front."""
    front = ((outline[1][0] + outline[2][0]) / 2, (outline[1][1] + outline[2][1]) / 2)
    across = (-facing[1] * width_ft / 2, facing[0] * width_ft / 2)
    out = (facing[0] * depth_ft, facing[1] * depth_ft)
    near_a, near_b = (front[0] - across[0], front[1] - across[1]), (front[0] + across[0], front[1] + across[1])
    return (near_a, near_b, (near_b[0] + out[0], near_b[1] + out[1]), (near_a[0] + out[0], near_a[1] + out[1]))
