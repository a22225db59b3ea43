"""Checks of what a project file says of its site: names of buildings, and walls that are drawn whole."""

from __future__ import annotations

from collections.abc import Iterator

from permitgen.project.messages import Location
from permitgen.project.place_building import usual_building
from permitgen.project.reference_check import Check
from permitgen.project.sections.project_file import ProjectFile
from permitgen.project.shown_walls import problems_of_shown_walls
from permitgen.reading.problems import Problem
from permitgen.system.site.building import DWELLING_USES


def openings_shown(check: Check) -> Iterator[Problem]:
    """Walls that are said to be drawn whole are walls of the plan, and somebody looked."""
    plan = check.models.site.plan
    for name, message, at_key in problems_of_shown_walls(plan) if plan is not None else ():
        yield check.problem(("site", "plan", "openings_shown", name), message, at_key=at_key)


def buildings(check: Check) -> Iterator[Problem]:
    """What is said of buildings fits the plan, and every name that is used is one of those stated or drawn."""
    site = check.models.site
    drawn = site.plan.buildings if site.plan is not None else {}
    for name, stated in site.buildings.items():
        if stated.attached_to == name:
            yield check.problem(("site", "buildings", name, "attached_to"), f"{name} is attached to itself; expected another or none")
        dwelling = drawn[name].dwelling if name in drawn else None
        if stated.use and dwelling is not None and dwelling != (stated.use in DWELLING_USES):
            word = "yes" if dwelling else "no"
            message = f"use: {stated.use} and dwelling: {word} on the plan contradict each other; expected one of the two, or both alike"
            yield check.problem(("site", "buildings", name, "use"), message)
    if site.buildings:
        known = sorted({*drawn, *site.buildings, usual_building(check.models)} - {""})
        for location, name in _buildings_used(check.models):
            if name not in known:
                yield check.unknown(location, "site.buildings and the plan have no building", name, known)


def _buildings_used(models: ProjectFile) -> Iterator[tuple[Location, str]]:
    for name, stated in models.site.buildings.items():
        if stated.attached_to not in ("", "none"):
            yield ("site", "buildings", name, "attached_to"), stated.attached_to
    for tag, item in models.equipment.items():
        if item.place is not None and item.place.building:
            yield ("equipment", tag, "place", "building"), item.place.building
        if getattr(item, "on_building", ""):
            yield ("equipment", tag, "on_building"), getattr(item, "on_building", "")
    for tag, run in models.raceways.items():
        if run.building:
            yield ("raceways", tag, "building"), run.building
