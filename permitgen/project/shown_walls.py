"""Walls of which every door and window is drawn, as people name them: ``garage``, or one side of it: ``garage, east``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from permitgen.project.directions import read_direction
from permitgen.project.sections.plan import PlanModel
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.system.site.facing import walls_facing


def problems_of_shown_walls(plan: PlanModel) -> Iterator[tuple[str, str, bool]]:
    """Yield (name, message, whether it is about the name) of each entry that names no wall of the plan, or nobody who looked at it."""
    for name, by in plan.openings_shown.items():
        building, side = wall_named(name, plan.buildings)
        if building not in plan.buildings:
            yield name, f"the plan has no building {quoted(building)}{did_you_mean(building, plan.buildings)}", True
            continue
        if by.strip().casefold() in ("", "none", "unknown"):
            yield name, "expected who looked at the walls, and when", False
        try:
            faces = read_direction(side)
        except ValueError as error:
            yield name, str(error), True
            continue
        outline = tuple((x, y) for x, y in plan.buildings[building].outline)
        if not walls_facing(outline, faces, north_of(plan)):
            yield name, f"no wall drawn of {building} faces {side}", True


def north_of(given: PlanModel) -> float:
    """Return the compass direction of the page's up, degrees: the opposite of what the front faces, which is the bottom of the page."""
    if given.front_faces is not None:
        return (given.front_faces.bearing_deg + 180) % 360
    return given.north if given.north is not None else 0.0


def wall_named(name: str, buildings: Iterable[str]) -> tuple[str, str]:
    """Return building and side of walls named as ``garage`` or ``garage, east``: the side empty for all walls.

    The longest name of a building that begins it counts; both are as written where none does.
    """
    text = " ".join(name.replace(",", " ").split())
    begins = [building for building in buildings if f"{text} ".startswith(f"{building} ")]
    building = max(begins, key=len, default=text)
    return building, text.removeprefix(building).strip()
