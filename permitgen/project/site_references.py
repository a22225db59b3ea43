"""Checks of what a project file says of its site: names of buildings, and walls that are drawn whole."""

from __future__ import annotations

from collections.abc import Iterator

from permitgen.project.figures_and_controls import carriers_of_loads
from permitgen.project.messages import Location
from permitgen.project.place_building import usual_building
from permitgen.project.reference_check import Check
from permitgen.project.sections.power_sources import PVArrayModel
from permitgen.project.sections.project_file import ProjectFile
from permitgen.project.shown_walls import problems_of_shown_walls
from permitgen.project.told_arrays import arrays_of
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, quoted
from permitgen.system.site.building import DWELLING_USES, NOTHING, UNITS_BY_USE
from permitgen.system.site.surroundings import FEATURES, THINGS


def openings_shown(check: Check) -> Iterator[Problem]:
    """Walls that are said to be drawn whole are walls of the plan, and somebody looked."""
    plan = check.models.site.plan
    for name, fault in problems_of_shown_walls(plan) if plan is not None else ():
        where = fault.key if fault.from_top else ("site", "plan", "openings_shown", name)
        yield check.problem(where, str(fault), at_key=fault.at_key)


def surroundings(check: Check) -> Iterator[Problem]:
    """Distances are stated from things that local rules can name, features drawn whole by such names, and an array is one of the file."""
    plan = check.models.site.plan
    for name in plan.features_shown if plan is not None else ():
        if name.casefold() not in FEATURES:
            yield check.unknown(("site", "plan", "features_shown", name), "no kind of feature is called", name, FEATURES)
    for tag, item in check.models.equipment.items():
        for name in item.place.distances if item.place is not None else ():
            if name not in THINGS:
                yield check.unknown(("equipment", tag, "place", "distances", name), "no distance is asked from", name, THINGS)
    arrays = [tag for tag, item in check.models.equipment.items() if isinstance(item, PVArrayModel)]
    for tag, item in check.models.equipment.items():
        named = item.place.on_array if item.place is not None else ""
        if named and (named not in arrays or named == tag):
            others = [each for each in arrays if each != tag]
            yield check.unknown(("equipment", tag, "place", "on_array"), "no array is called", named, others)


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


def dwelling_units(check: Check) -> Iterator[Problem]:
    """Dwelling units stand in dwellings, as many as their use says, each served by equipment of its own; no floor area is said twice."""
    site = check.models.site
    with_units = {name: stated for name, stated in site.buildings.items() if stated.units}
    for building, stated in with_units.items():
        where: Location = ("site", "buildings", building, "units")
        number = UNITS_BY_USE.get(stated.use, len(stated.units))
        if stated.use not in DWELLING_USES:
            use = f"use: {stated.use}" if stated.use else "no use"
            yield check.problem(where, f"{building} has dwelling units and {use}; expected one of: {', '.join(DWELLING_USES)}", at_key=True)
        elif len(stated.units) != number:
            message = f"a {stated.use} building has {_counted(number)}; found {len(stated.units)} ({', '.join(stated.units)})"
            yield check.problem(where, message, at_key=True)
    yield from _what_serves_units(check)
    if with_units and not _dwellings_without_units(check.models):
        for key in ("floor_area", "small_appliance_circuits", "laundry_circuits"):
            if getattr(site, key) is not None:
                yield check.problem(("site", key), f"the dwelling units state their own {key}; expected it there only", at_key=True)


def layouts(check: Check) -> Iterator[Problem]:
    """Modules that are told in rows and columns are as many as their array has, where no outline of it is drawn beside them."""
    plan = check.models.site.plan
    for tag, array in arrays_of(check.models).items():
        planes = {name: plan.roof_planes[name] for name in array.roof_planes if plan is not None and name in plan.roof_planes}
        told = {name: [each for each in plane.layout if each.of in ("", tag)] for name, plane in planes.items()}
        all_told = bool(planes) and all(told[name] and len(plane.layout) == len(plane.arrays) for name, plane in planes.items())
        count = _modules_of(array)
        if count is None:
            continue
        found = sum(each.rows.number * each.columns.number for blocks in told.values() for each in blocks if each.rows and each.columns)
        if found > count or (all_told and found != count):
            where: Location = ("site", "plan", "roof_planes", next(iter(planes)), "layout")
            message = (
                f"rows and columns hold {found:g} modules, and {tag} has {count:g}; expected both alike, a block of its own for a short row"
            )
            yield check.problem(where, message, at_key=True)


def _modules_of(array: PVArrayModel) -> float | None:
    """Return how many modules an array has, None where it is not known or stated differently."""
    counts = [array.modules] if array.modules is not None else [*(array.branches or array.strings).values()]
    if not counts or any(each is None or each.others for each in counts):
        return None
    return sum(each.number for each in counts if each is not None)


def _what_serves_units(check: Check) -> Iterator[Problem]:
    carriers = carriers_of_loads(check.models)
    served: dict[str, str] = {}
    for building, stated in check.models.site.buildings.items():
        for name, unit in stated.units.items():
            location: Location = ("site", "buildings", building, "units", name, "served_by")
            if unit.served_by == NOTHING:
                continue
            if unit.served_by not in carriers:
                yield check.unknown(location, "no panel, main or meter has the tag", unit.served_by, carriers)
            elif unit.served_by in served:
                message = f"{unit.served_by} serves unit {served[unit.served_by]} already; expected equipment that serves unit {name} alone"
                yield check.problem(location, message)
            served.setdefault(unit.served_by, name)


def _counted(number: int) -> str:
    return "one dwelling unit" if number == 1 else f"{number} dwelling units"


def _dwellings_without_units(models: ProjectFile) -> set[str]:
    """Return the buildings that are dwellings, or may be, and whose units are not stated."""
    stated = models.site.buildings
    drawn = models.site.plan.buildings if models.site.plan is not None else {}
    names = {name for name, entry in stated.items() if entry.use in DWELLING_USES}
    names |= {name for name, building in drawn.items() if building.dwelling is not False and not (name in stated and stated[name].use)}
    return {name for name in names if name not in stated or not stated[name].units}


def _buildings_used(models: ProjectFile) -> Iterator[tuple[Location, str]]:
    for name, stated in models.site.buildings.items():
        if stated.attached_to:
            yield ("site", "buildings", name, "attached_to"), stated.attached_to
    for tag, item in models.equipment.items():
        if item.place is not None and item.place.building:
            yield ("equipment", tag, "place", "building"), item.place.building
        if getattr(item, "on_building", ""):
            yield ("equipment", tag, "on_building"), getattr(item, "on_building", "")
    for tag, run in models.raceways.items():
        if run.building:
            yield ("raceways", tag, "building"), run.building


def roof_planes(check: Check) -> Iterator[Problem]:
    """Where roof planes are drawn or told, an array lies on one of them: the name of none would leave it on no roof, unsaid."""
    plan = check.models.site.plan
    drawn = list(plan.roof_planes) if plan is not None else []
    for tag, array in check.models.equipment.items():
        for name in array.roof_planes if isinstance(array, PVArrayModel) and drawn else ():
            if name not in drawn:
                hint = did_you_mean(name, drawn) or f"; roof planes: {', '.join(drawn)}"
                yield check.problem(("equipment", tag, "roof_planes"), f"no roof plane is called {quoted(name)}{hint}")
