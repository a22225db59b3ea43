"""Doors and windows of the site plan, and how far equipment stands from the nearest of them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.quantities.plan_distances import footprint_on_plan
from permitgen.system.site.geometry import Point, distance_between, distance_to_segment, edges
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.system import System

IN_WALL_FT = 0.5
"""An opening whose middle is this near a wall line lies in that wall."""


def wall_at(at: Point, outlines: list[tuple[Point, ...]]) -> tuple[Point, Point] | None:
    """Return the wall in which an opening lies; None where none is near."""
    walls = [edge for outline in outlines for edge in edges(outline) if edge[0] != edge[1]]
    nearest = min(walls, key=lambda wall: distance_to_segment(at, *wall), default=None)
    return nearest if nearest is not None and distance_to_segment(at, *nearest) <= IN_WALL_FT else None


def jambs(at: Point, width_ft: float, wall: tuple[Point, Point]) -> tuple[Point, Point]:
    """Return both ends of an opening in its wall."""
    length = math.dist(*wall)
    x, y = ((wall[1][index] - wall[0][index]) / length * width_ft / 2 for index in (0, 1))
    return (at[0] - x, at[1] - y), (at[0] + x, at[1] + y)


def distance_to_opening(system: System, item: Equipment, *, of_any_building: bool = False) -> Value | None:
    """Return the distance in plan of equipment to the nearest door or window of a dwelling, or of any building, ft.

    None where the plan does not place the equipment with its size, shows no opening, or lacks the width or wall of one.
    """
    outline = footprint_on_plan(system, item)
    openings = list(_openings(system, of_any_building=of_any_building))
    if outline is None or not openings or any(opening is None for opening in openings):
        return None
    found = min(distance_between(outline, opening) for opening in openings if opening is not None)
    return Value(found, "ft", FromSystem("measured on the site plan"), "d", f"distance of {item.tag} to the nearest door or window")


def _openings(system: System, *, of_any_building: bool) -> Iterator[tuple[Point, Point] | None]:
    """Yield both jambs of every opening of the dwelling, None for one whose width or wall is not known."""
    plan = system.site.plan
    all_walls = [building.outline for building in plan.buildings]
    dwellings = [building.outline for building in plan.buildings if building.dwelling or of_any_building] or all_walls
    for opening in plan.openings:
        wall = wall_at(opening.point, dwellings)
        if wall is None and wall_at(opening.point, all_walls) is not None:
            continue
        yield jambs(opening.point, opening.width_ft, wall) if wall is not None and opening.width_ft is not None else None
