"""Walls of which every door and window is drawn, as people name them: ``garage``, or one side of it: ``garage right``."""

from __future__ import annotations

from collections.abc import Iterator

from permitgen.project.named_walls import ToldWronglyError, wall_named, walls_of
from permitgen.project.sections.plan import PlanModel
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.system.site.compass import Direction
from permitgen.system.site.facing import walls_facing


def problems_of_shown_walls(plan: PlanModel) -> Iterator[tuple[str, ToldWronglyError]]:
    """Yield (name, fault) of each entry that names no wall of the plan, or nobody who looked at it."""
    walls = walls_of(plan)
    for name, by in plan.openings_shown.items():
        building, side = wall_named(name, [*plan.buildings])
        if building not in plan.buildings:
            message = f"the plan has no building {quoted(building)}{did_you_mean(building, plan.buildings)}"
            yield name, ToldWronglyError(message, at_key=True)
            continue
        if by.strip().casefold() in ("", "none", "unknown"):
            yield name, ToldWronglyError("expected who looked at the walls, and when")
        try:
            faces = side_of_shown(plan, side)
        except ToldWronglyError as error:
            yield name, error if error.from_top else ToldWronglyError(str(error), at_key=True)
            continue
        if not walls_facing(walls.outlines[building], faces, walls.north_deg):
            yield name, ToldWronglyError(f"no wall drawn of {building} faces {side}", at_key=True)


def side_of_shown(plan: PlanModel, side: str) -> Direction | None:
    """Return the direction that walls face of which every opening is shown; None for all walls.

    Raises:
        ToldWronglyError: no side has that name.
    """
    return walls_of(plan).direction(side) if side else None
