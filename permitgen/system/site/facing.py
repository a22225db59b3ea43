"""Which way roofs fall and walls face on the page: square to the edge drawn, because words and compasses are coarser than the drawing."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from permitgen.system.site.compass import NEAR_DEG, Direction, angle_between_deg, bearing_of
from permitgen.system.site.geometry import Outline, Point, area_signed, centroid, distance_to_segment, edges

if TYPE_CHECKING:
    from permitgen.system.place import Place
    from permitgen.system.site.plan import Building, Plan

ON_WALL_FT = 0.25
"""A place this near a wall line stands against that wall; its point is then the middle of its back."""
_SAME_DEG = 1.0
_SIDES: dict[str, Point] = {"front": (0.0, -1.0), "right": (1.0, 0.0), "back": (0.0, 1.0), "left": (-1.0, 0.0)}


def outward(outline: Outline, edge: tuple[Point, Point]) -> Point:
    """Return the unit vector square to an edge of an outline that points out of it; (0, 0) for an edge without length."""
    length = math.dist(*edge)
    if length == 0:
        return (0.0, 0.0)
    turn = 1.0 if area_signed(outline) > 0 else -1.0
    return (turn * (edge[1][1] - edge[0][1]) / length, -turn * (edge[1][0] - edge[0][0]) / length)


def fall_from_eave(outline: Outline, eave: tuple[Point, Point]) -> Point | None:
    """Return the unit vector square to the eave, away from the plane; None where the eave has no length or cuts the plane's middle."""
    length = math.dist(*eave)
    if length == 0:
        return None
    square = ((eave[1][1] - eave[0][1]) / length, -(eave[1][0] - eave[0][0]) / length)
    middle = centroid(outline)
    side = (eave[0][0] - middle[0]) * square[0] + (eave[0][1] - middle[1]) * square[1]
    if abs(side) < 1e-6:
        return None
    return square if side > 0 else (-square[0], -square[1])


def fall_toward(outline: Outline, faces: Direction, north_deg: float) -> tuple[Point | None, str]:
    """Return the unit vector in which a plane falls that faces a direction, square to the edge that fits it, and why there is none.

    A direction fits an edge whose outward normal lies within ``NEAR_DEG`` of it: water runs off square to an eave. Where several edges
    of different directions fit alike, or none does, nobody can tell without the eave.
    """
    told = faces.on_page(north_deg)
    normals = [normal for edge in edges(outline) if (normal := outward(outline, edge)) != (0.0, 0.0)]
    near = sorted((angle_between_deg(normal, told), normal) for normal in normals)
    near = [(angle, normal) for angle, normal in near if angle <= NEAR_DEG + 1e-6]
    if not near:
        return None, f"two corners of its eave, as no edge drawn faces {faces.words} (north {north_deg:g}°)"
    best_angle, best = near[0]
    # Two edges of one straight eave fit alike and fall alike; two of different directions leave the word open unless it is exact.
    if best_angle > _SAME_DEG and any(angle_between_deg(best, normal) > _SAME_DEG for _, normal in near[1:]):
        return None, f"two corners of its eave, as several edges drawn may face {faces.words} (north {north_deg:g}°)"
    return best, ""


def side_facing(plan: Plan, faces: Direction) -> str:
    """Return the side of a house that faces a direction, as seen from the street; empty where the front is not known or it is aslant."""
    if not plan.has_front:
        return ""
    told = faces.on_page(plan.north_deg)
    return next((side for side, out in _SIDES.items() if angle_between_deg(out, told) <= NEAR_DEG), "")


def walls_facing(outline: Outline, faces: Direction | None, north_deg: float) -> list[tuple[Point, Point]]:
    """Return the walls of an outline whose outside faces a direction, within ``NEAR_DEG``; all of them for None."""
    walls = [edge for edge in edges(outline) if edge[0] != edge[1]]
    if faces is None:
        return walls
    told = faces.on_page(north_deg)
    return [wall for wall in walls if angle_between_deg(told, outward(outline, wall)) <= NEAR_DEG + 1e-6]


def walls_not_shown(plan: Plan, building: Building) -> list[tuple[Point, Point]]:
    """Return the walls of a building that may have doors and windows which the plan does not draw."""
    said = [shown for shown in plan.openings_shown if shown.building == building.name]
    shown = {wall for each in said for wall in walls_facing(building.outline, each.faces, plan.north_deg)}
    return [wall for wall in walls_facing(building.outline, None, plan.north_deg) if wall not in shown]


def facing_on_page(plan: Plan, place: Place | None) -> Point:
    """Return the unit vector on the page in which a thing faces: square to the wall it stands against; (0, 0) where it is not stated."""
    if place is None or place.faces is None:
        return (0.0, 0.0)
    told = place.faces.on_page(plan.north_deg)
    if place.x_ft is None or place.y_ft is None:
        return told
    at = (place.x_ft.number, place.y_ft.number)
    found: list[tuple[float, Point]] = []
    for building in plan.buildings:
        for edge in edges(building.outline):
            if edge[0] != edge[1] and distance_to_segment(at, *edge) <= ON_WALL_FT:
                out = outward(building.outline, edge)
                # What hangs inside on an outside wall faces into the building.
                found += [(angle_between_deg(told, normal), normal) for normal in (out, (-out[0], -out[1]))]
    angle, best = min(found, default=(180.0, told))
    return best if angle <= NEAR_DEG + 1e-6 else told


def facing_deg(plan: Plan, place: Place | None) -> float | None:
    """Return the compass direction in which a thing faces, degrees from true north; None where it is not stated."""
    facing = facing_on_page(plan, place)
    return None if facing == (0.0, 0.0) else bearing_of(facing, plan.north_deg)
