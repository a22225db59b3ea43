"""The building or structure of what states none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.project.sections import equipment as kinds
from permitgen.system.site.building import DWELLING_USES, STRUCTURE_USES
from permitgen.system.site.geometry import AT_WALL_FT, distance_to_outline

if TYPE_CHECKING:
    from permitgen.project.sections.hardware import PlaceModel
    from permitgen.project.sections.project_file import ProjectFile

GROUND = "ground"
UNNAMED = "house"
"""What the house is called in a file that names and draws no building."""


def usual_building(models: ProjectFile) -> str:
    """Return the building of what states none: the house.

    That is the only building on the site plan that may be a dwelling, without a plan the only dwelling of ``site.buildings``, else
    ``house``; empty where several are drawn.
    """
    drawn = models.site.plan.buildings if models.site.plan is not None else {}
    uses = {name: stated.use for name, stated in models.site.buildings.items()}
    if len(drawn) > 1:
        return ""
    for name, building in drawn.items():
        if building.dwelling is not False and uses.get(name, "") in ("", *DWELLING_USES):
            return name
    dwellings = [name for name, use in uses.items() if use in DWELLING_USES]
    return dwellings[0] if len(dwellings) == 1 else UNNAMED


def usual_roof(models: ProjectFile) -> str:
    """Return the building of a roof plane that states none: the only one that the plan draws, else as for anything else."""
    drawn = list(models.site.plan.buildings) if models.site.plan is not None else []
    return drawn[0] if len(drawn) == 1 else usual_building(models)


@dataclass(frozen=True, slots=True)
class PlaceBuilding:
    """The building of a place, empty for none; ``is_in_the_open`` where the file says none, ``is_assumed`` where it says nothing."""

    name: str
    is_in_the_open: bool = False
    is_assumed: bool = False


def building_of_place(place: PlaceModel, models: ProjectFile) -> PlaceBuilding:
    """Return the building or structure at which a place lies: as stated, else the pole or pedestal that its space names.

    What is fastened to an array is where that is. None outdoors away from the one building that the plan draws, and on the ground where
    the file names several buildings and no plan shows which is near; else the usual building, assumed where nothing tells it.
    """
    if place.building or "building" in place.absent:
        return PlaceBuilding(place.building, is_in_the_open="building" in place.absent)
    if place.on_array:
        return _of_array(place.on_array, models)
    if structure_named(place):
        return PlaceBuilding(place.space.casefold())
    if _is_away(place, models) or _is_on_ground_of_several(place, models):
        return PlaceBuilding("")
    is_drawn = len(place.map) == 2 and models.site.plan is not None
    return PlaceBuilding(usual_building(models), is_assumed=place.outdoors is True and not is_drawn)


def _of_array(tag: str, models: ProjectFile) -> PlaceBuilding:
    array = models.equipment.get(tag)
    if not isinstance(array, kinds.PVArrayModel):
        return PlaceBuilding("")
    if array.on_building:
        return PlaceBuilding(array.on_building)
    if "on_building" in array.absent or (array.place is not None and array.place.space == GROUND):
        return PlaceBuilding("", is_in_the_open=True)
    return building_of_place(array.place, models) if array.place is not None and not array.place.on_array else PlaceBuilding("")


def structure_named(place: PlaceModel) -> str:
    """Return the use of the structure that a space names by its last word (``yard pole``); empty where it names none."""
    words = place.space.casefold().split()
    return words[-1] if not place.building and words and words[-1] in STRUCTURE_USES else ""


def _is_on_ground_of_several(place: PlaceModel, models: ProjectFile) -> bool:
    """Whether a place is told as the ground alone, without a point beside a drawn building, on a site of several buildings."""
    drawn = models.site.plan.buildings if models.site.plan is not None else {}
    if GROUND not in place.space.casefold().split() or place.outdoors is False or (drawn and len(place.map) == 2):
        return False
    return len({*drawn, *models.site.buildings}) > 1


def _is_away(place: PlaceModel, models: ProjectFile) -> bool:
    """Whether a place outdoors is drawn farther from the one building on the plan than equipment on its wall is."""
    drawn = list(models.site.plan.buildings.values()) if models.site.plan is not None else []
    if len(drawn) != 1 or not place.outdoors or len(place.map) != 2 or "roof" in place.space:
        return False
    outline = tuple((x, y) for x, y in drawn[0].outline)
    return distance_to_outline(outline, (place.map[0], place.map[1])) > AT_WALL_FT
