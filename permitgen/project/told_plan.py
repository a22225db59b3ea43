"""What a project file tells in words of its site becomes the coordinates in which it is judged and drawn: one form for all that follows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from permitgen.project.messages import Location
from permitgen.project.named_walls import ToldWronglyError, Walls, walls_of
from permitgen.project.reference_check import Check
from permitgen.project.sections.plan import BollardModel, FeatureModel, PlanModel
from permitgen.project.sections.project_file import ProjectFile
from permitgen.project.told_arrays import outline_of
from permitgen.project.told_buildings import outlines_told
from permitgen.project.told_places import ground_point, place_told, spot_of
from permitgen.project.told_roofs import planes_told
from permitgen.project.told_rooms import rooms_told
from permitgen.reading.problems import Problem
from permitgen.system.site.plan import Room


def in_coordinates(check: Check) -> tuple[ProjectFile, list[Problem]]:
    """Return the models with every place that is told in words put on the plan, and what is told wrongly.

    Walls are needed to understand places: where buildings are told wrongly, nothing else is looked at.
    """
    models = check.models
    plan, problems = _with_buildings(models.site.plan or PlanModel(), check)
    if problems:
        return models, problems
    walls = walls_of(plan)
    rooms, wrong = rooms_told(plan, walls)
    walls = replace(walls, rooms=rooms)
    problems += [_problem(check, ("site", "plan", *below), error) for below, error in wrong]
    if models.site.plan is not None:
        plan, faults = _with_details(_with_rooms(plan, rooms), walls, check)
        problems += faults
        models = models.model_copy(update={"site": models.site.model_copy(update={"plan": plan})})
    equipment, faults = _equipment(models, walls, check)
    problems += faults
    models = models.model_copy(update={"equipment": equipment})
    raceways, faults = _raceways(models, check)
    return models.model_copy(update={"raceways": raceways}), [*problems, *faults]


def _problem(check: Check, location: Location, error: ToldWronglyError) -> Problem:
    return check.problem(error.key if error.from_top else (*location, *error.key), str(error), at_key=error.at_key)


def _with_buildings(plan: PlanModel, check: Check) -> tuple[PlanModel, list[Problem]]:
    outlines, faults = outlines_told(plan)
    problems = [_problem(check, ("site", "plan", "buildings", name), error) for name, error in faults]
    if problems:
        return plan, problems
    drawn = {name: building.model_copy(update={"outline": outlines[name]}) for name, building in plan.buildings.items()}
    return plan.model_copy(update={"buildings": drawn}), []


def _with_rooms(plan: PlanModel, rooms: Mapping[str, Room]) -> PlanModel:
    """Return the plan with the outline and the space of every room that is told rightly."""
    drawn = {}
    for building, model in plan.buildings.items():
        found = {name: rooms[f"{building} {name}"] for name in model.rooms if f"{building} {name}" in rooms}
        told = {
            name: model.rooms[name].model_copy(update={"outline": [[*corner] for corner in room.outline], "space": room.space})
            for name, room in found.items()
        }
        drawn[building] = model.model_copy(update={"rooms": told})
    return plan.model_copy(update={"buildings": drawn})


def _with_details(plan: PlanModel, walls: Walls, check: Check) -> tuple[PlanModel, list[Problem]]:
    planes, faults = planes_told(plan)
    problems = [_problem(check, ("site", "plan", *below), error) for below, error in faults]
    features, bollards = [], []
    for index, feature in enumerate(plan.features):
        where: Location = ("site", "plan", "features", index)
        features.append(_told(check, where, problems, feature, partial(_feature, feature, walls)))
    for index, bollard in enumerate(plan.bollards):
        where = ("site", "plan", "bollards", index)
        bollards.append(_told(check, where, problems, bollard, partial(_bollard, bollard, walls)))
    for name, plane in planes.items():
        if isinstance(plane.faces, str):
            where = ("site", "plan", "roof_planes", name)
            told = _told(check, where, problems, None, partial(walls.direction, plane.faces, "faces"))
            planes[name] = plane.model_copy(update={"faces": told})
    for name, plane in planes.items():
        shapes = []
        for index, layout in enumerate(plane.layout):
            where = ("site", "plan", "roof_planes", name, "layout", index)
            shapes.append(_told(check, where, problems, [], partial(outline_of, layout, name, planes[name], walls, check.models)))
        planes[name] = plane.model_copy(update={"arrays": [*plane.arrays, *shapes]}) if shapes else plane
    return plan.model_copy(update={"roof_planes": planes, "features": features, "bollards": bollards}), problems


def _told(check: Check, where: Location, problems: list[Problem], otherwise: Any, read: Callable[[], Any]) -> Any:
    """Return what is read; ``otherwise``, and one problem more, where it is told wrongly."""
    try:
        return read()
    except ToldWronglyError as error:
        problems.append(_problem(check, where, error))
        return otherwise


def _feature(feature: FeatureModel, walls: Walls) -> FeatureModel:
    spot = spot_of(feature, walls)
    if spot is None:
        return feature
    key = "wall" if feature.wall else "ground"
    if feature.at:
        raise ToldWronglyError(f"at and {key} both say where it is; expected one of the two", key, at_key=True)
    if spot.point is None:
        expected = "expected from and distance" if feature.wall else "expected distance and along, from a corner or past one"
        raise ToldWronglyError(f"the place of the {feature.kind} is not told; {expected}", key, at_key=True)
    return feature.model_copy(update={"at": [*spot.point]})


def _bollard(bollard: BollardModel, walls: Walls) -> BollardModel:
    if bollard.ground is None:
        return bollard
    point = ground_point(bollard.ground, walls)
    if point is None:
        raise ToldWronglyError("the place of the bollard is not told; expected distance and along, from a corner or past one", "ground")
    return bollard.model_copy(update={"at": [*point]})


def _equipment(models: ProjectFile, walls: Walls, check: Check) -> tuple[dict[str, Any], list[Problem]]:
    def use_of(building: str) -> str:
        stated = models.site.buildings.get(building)
        return stated.use if stated is not None else ""

    problems: list[Problem] = []
    found: dict[str, Any] = {}
    for tag, item in models.equipment.items():
        found[tag] = item
        place = item.place
        if place is not None:
            told = _told(check, ("equipment", tag, "place"), problems, place, partial(place_told, place, walls, use_of))
            found[tag] = item if told is place else item.model_copy(update={"place": told})
    return found, problems


def _raceways(models: ProjectFile, check: Check) -> tuple[dict[str, Any], list[Problem]]:
    problems: list[Problem] = []
    found: dict[str, Any] = {}
    for tag, run in models.raceways.items():
        found[tag] = run
        if any(isinstance(stop, str) for stop in run.route):
            stops = [_stop(models, check, ("raceways", tag, "route", index), stop, problems) for index, stop in enumerate(run.route)]
            found[tag] = run.model_copy(update={"route": [stop for stop in stops if stop]})
    return found, problems


def _stop(models: ProjectFile, check: Check, where: Location, stop: list[float] | str, problems: list[Problem]) -> list[float]:
    """Return the point of a stop of a way: a tag stands for the place of its equipment."""
    if not isinstance(stop, str):
        return stop
    if stop not in models.equipment:
        problems.append(check.unknown(where, "no equipment has the tag", stop, models.equipment))
        return []
    place = models.equipment[stop].place
    if place is None or len(place.map) != 2:
        problems.append(check.problem(where, f"{stop} has no place on the plan; expected one, or a point [x, y] in its stead"))
        return []
    return place.map
