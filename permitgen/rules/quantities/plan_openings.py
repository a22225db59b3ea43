"""Doors and windows of the site plan, and how far equipment stands from the nearest of them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, at_least, does_not_apply, not_judged, require_at_least
from permitgen.rules.quantities.plan_distances import footprint_on_plan
from permitgen.system.site.facing import walls_not_shown
from permitgen.system.site.geometry import Point, distance_between, distance_to_segment, edges
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.site.plan import Building, Plan
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


def distance_to_unseen_opening(system: System, item: Equipment, *, of_any_building: bool = False) -> Value | None:
    """Return the distance in plan of equipment to the nearest wall that may have an opening which the plan does not draw, ft.

    None where the plan does not place the equipment with its size, or says of every wall that its openings are all shown.
    """
    plan = system.site.plan
    outline = footprint_on_plan(system, item)
    walls = [wall for building in _measured_to(plan, of_any_building=of_any_building) for wall in walls_not_shown(plan, building)]
    if outline is None or not walls:
        return None
    found = min(distance_between(outline, wall) for wall in walls)
    return Value(found, "ft", FromSystem("measured on the site plan"), "d", f"distance of {item.tag} to a wall of unknown openings")


def judge_distance_to_openings(
    item: Equipment, given: Given, limit: Value, words: str, *, of_any_building: bool = False, otherwise: Verdict = Verdict.VIOLATED
) -> Judgement:
    """Judge the distance of equipment to the nearest door or window: as stated, else as the plan gives it. ``words`` end the message.

    What a plan does not draw is unknown, not absent: by the plan a distance passes only where every nearer wall says that its openings
    are all shown.
    """
    stated = item.place.fact("to_door_or_window") if item.place is not None else None
    drawn = stated or distance_to_opening(given.system, item, of_any_building=of_any_building)
    unseen = distance_to_unseen_opening(given.system, item, of_any_building=of_any_building) if stated is None else None
    if drawn is not None and (unseen is None or not at_least(drawn, limit) or at_least(unseen, drawn)):
        message = f"{item.tag}: {drawn.number:.4g} ft to the nearest door or window, {words}"
        return require_at_least(message, computed=drawn.named("d"), limit=limit, otherwise=otherwise)
    missing = f"distance of {item.tag} to the nearest door or window"
    if unseen is None:
        return _without_openings(item, given, missing, of_any_building=of_any_building)
    if not at_least(unseen, limit):
        walls = f"doors and windows of walls {unseen.number:.4g} ft from {item.tag} are not said to be all shown on the plan"
        return not_judged(f"{missing} ({walls})")
    message = f"{item.tag}: no door or window within {unseen.number:.4g} ft, {words}"
    return require_at_least(message, computed=unseen, limit=limit, otherwise=otherwise)


def _without_openings(item: Equipment, given: Given, missing: str, *, of_any_building: bool) -> Judgement:
    plan = given.system.site.plan
    walls_are_known = plan.openings_shown and footprint_on_plan(given.system, item) is not None
    if walls_are_known and not list(_openings(given.system, of_any_building=of_any_building)):
        return does_not_apply("the plan shows every wall, and no door or window")
    return not_judged(missing)


def _measured_to(plan: Plan, *, of_any_building: bool) -> list[Building]:
    """Return the buildings whose openings count: dwellings, else all."""
    return [building for building in plan.buildings if building.dwelling or of_any_building] or list(plan.buildings)


def _openings(system: System, *, of_any_building: bool) -> Iterator[tuple[Point, Point] | None]:
    """Yield both jambs of every opening of the dwelling, None for one whose width or wall is not known."""
    plan = system.site.plan
    all_walls = [building.outline for building in plan.buildings]
    dwellings = [building.outline for building in _measured_to(plan, of_any_building=of_any_building)]
    for opening in plan.openings:
        wall = wall_at(opening.point, dwellings)
        if wall is None and wall_at(opening.point, all_walls) is not None:
            continue
        yield jambs(opening.point, opening.width_ft, wall) if wall is not None and opening.width_ft is not None else None
