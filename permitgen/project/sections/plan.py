"""The site on paper: buildings and what they are used for, roofs, openings and what else the plan shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import AfterValidator, GetJsonSchemaHandler, model_validator

from permitgen.project.directions import Compass, Pitch
from permitgen.project.fields import (
    Area,
    Count,
    Length,
    Number,
    Section,
    Text,
    There,
    YesNo,
    choice_schema,
    described,
    one_of,
)
from permitgen.project.sections import meanings
from permitgen.system.site.building import DWELLING_USES, NONHABITABLE_USES, STRUCTURE_USES


def _two_numbers(point: list[float]) -> list[float]:
    if len(point) != 2:
        raise ValueError(f"a point is two numbers, x and y in feet, as [12, 40]; found {len(point)}")
    return point


_FARTHEST_FT = 10_000
_LEAST_AREA_FT2 = 0.01


def _on_a_site(point: list[float]) -> list[float]:
    if max(map(abs, point)) > _FARTHEST_FT:
        raise ValueError(f"a point of a plan lies within {_FARTHEST_FT:,} ft of its origin; found [{point[0]:g}, {point[1]:g}]")
    return point


def _an_outline(corners: list[list[float]]) -> list[list[float]]:
    if len(corners) < 3:
        raise ValueError(f"an outline has three corners or more; found {len(corners)}")
    around = zip(corners, [*corners[1:], corners[0]], strict=True)
    if abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in around)) < _LEAST_AREA_FT2:
        raise ValueError("the corners of this outline enclose no area; list them in order around it")
    return corners


def _a_way(points: list[list[float]]) -> list[list[float]]:
    if len(points) < 2:
        raise ValueError(f"a way has two points or more; found {len(points)}")
    return points


def _an_eave(points: list[list[float]]) -> list[list[float]]:
    if points and (len(points) != 2 or points[0] == points[1]):
        raise ValueError(f"an eave is two points that differ, as [[16, 40], [64, 40]]; found {len(points)}")
    return points


@dataclass(frozen=True)
class _Holds:
    """How many entries a list has, for the schema: the message for people comes from the validator beside it."""

    least: int
    most: int | None

    def __get_pydantic_json_schema__(self, schema: Any, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        found = {**handler(schema), "minItems": self.least}
        return found if self.most is None else {**found, "maxItems": self.most}


Point = Annotated[list[Number], AfterValidator(_two_numbers), AfterValidator(_on_a_site), _Holds(2, 2)]
Outline = Annotated[list[Point], AfterValidator(_an_outline), _Holds(3, None)]
Way = Annotated[list[Point], AfterValidator(_a_way), _Holds(2, None)]
Eave = Annotated[list[Point], AfterValidator(_an_eave), _Holds(0, 2)]


class BuildingModel(Section, says="A building's outline on the plan, in feet."):
    outline: Outline = described(..., meanings.OUTLINE)
    label: Text = described("", meanings.DRAWN_LABEL)
    dwelling: YesNo = described(None, "Whether people live in this building; setbacks of storage and exits depend on it.")


class RoofPlaneModel(
    Section,
    says="A roof plane in plan: its corners, its pitch, the outlines of arrays on it, and the way it falls: ``eave`` is two points of its "
    "lower edge, from which it falls squarely; without one it falls square to the edge that ``faces`` fits best.",
):
    building: Text = described("", meanings.BUILDING_NAME)
    outline: Outline = described(..., meanings.OUTLINE)
    pitch: Pitch = described(None, "Slope of the roof plane as rise over run, for example 5/12, or in degrees, by level or from the plans.")
    faces: Compass = described(None, "Direction toward which the roof plane falls, as a compass word or in degrees from true north.")
    eave: Eave = described(
        list, "Two points of the lower edge in feet, for a roof plane that does not fall squarely to the direction it faces."
    )
    arrays: list[Outline] = described(list, "Outlines of the arrays that lie on this plane, each a list of corners [x, y] in feet.")


class FeatureModel(
    Section,
    says="Something else that the plan shows: a driveway, a street, a tree, a gas meter, a door, a window, an emergency escape opening. "
    "``width`` is that of an opening, ``at`` its middle on the wall.",
):
    kind: Text = described(
        ..., "What it is, for example driveway, street, tree, gas meter, door, vehicle door, window or emergency escape opening."
    )
    outline: Way = described(list, "Its line or outline on the plan, two or more points [x, y] in feet.")
    at: Point = described(list, "Middle of a door or window on its wall, or the place of a small thing, as [x, y] in feet.")
    width: Length = described(None, "Width of the opening in the wall, in feet or inches, by tape.")
    label: Text = described("", meanings.DRAWN_LABEL)


OBSTRUCTIONS = ("vent", "skylight", "chimney", "dish", "equipment", "other")


class ObstructionModel(
    Section,
    says="Something on a roof that firefighters would meet: round with ``at`` and ``diameter``, else an ``outline`` in plan.",
):
    kind: Annotated[str, one_of(*OBSTRUCTIONS), choice_schema(*OBSTRUCTIONS)] = described(
        ..., "What stands on the roof: vent, skylight, chimney, dish, equipment or other."
    )
    at: Point = described(list, meanings.POINT_AT)
    diameter: Length = described(None, "Diameter of a round one, in inches, by tape.")
    outline: Outline = described(list, meanings.OUTLINE)
    label: Text = described("", meanings.DRAWN_LABEL)


class BollardModel(Section, says="A post that keeps vehicles away, at its middle."):
    at: Point = described(..., meanings.POINT_AT)
    diameter: Length = described(None, "Diameter of the post, in inches, by tape.")
    height: Length = described(None, "Height of the post above the floor or ground, in inches, by tape.")


class PlanModel(
    Section,
    says="Site geometry in feet, x to the right, y up the page. ``north`` is the compass direction of the page's up, degrees; in "
    "its stead ``front_faces`` is what a compass reads at the front of the house, looking out, where the bottom of the page is the front. "
    "``openings_shown`` names the walls of which every door and window is drawn, a building or one side of it (``garage, east``), "
    "each with who looked and when; a wall that it does not name may have more. "
    "``escape_openings_above_roofs`` says no where no emergency escape opening has a roof below it; where one has, it is a "
    "feature.",
):
    north: Number | None = described(None, "Compass direction of the page's up, in degrees from true north; 0 where north is up.")
    front_faces: Compass = described(
        None,
        "What a compass reads at the front door, looking out, in degrees or as a word, in place of north; the bottom of the "
        "page is the front.",
    )
    lot: Outline = described(
        list, "Corners of the lot line in order around it, each as [x, y] in feet, from the survey or the assessor's map."
    )
    buildings: dict[str, BuildingModel] = described(dict, "Buildings on the lot by name, each with its outline.")
    roof_planes: dict[str, RoofPlaneModel] = described(
        dict, "Roof planes by name, each with outline, pitch and direction; firefighters' pathways are judged on them."
    )
    features: list[FeatureModel] = described(
        list, "What else the plan shows: driveway, street, trees, meters, doors, windows, escape openings."
    )
    openings_shown: dict[str, Text] = described(
        dict, "Walls of which every door and window is drawn, as garage or garage, east, each with who looked and when."
    )
    escape_openings_above_roofs: There = described(
        None, "Say no where no emergency escape opening has a roof below it; one that has is drawn as a feature."
    )
    obstructions: list[ObstructionModel] = described(
        list, "Vents, skylights, chimneys and the like on the roofs, which narrow firefighters' pathways."
    )
    bollards: list[BollardModel] = described(list, "Posts that keep vehicles away from equipment.")

    @model_validator(mode="after")
    def say_north_once(self) -> PlanModel:
        """Refuse two statements of one direction."""
        if self.north is not None and self.front_faces is not None:
            raise ValueError("north and front_faces both say how the page lies; expected one of the two")
        return self


BUILDING_USES = (*DWELLING_USES, *NONHABITABLE_USES, "workshop", "other", *STRUCTURE_USES)


class DwellingUnitModel(
    Section,
    says="One dwelling unit. Its loads are those behind the panel, main or meter that serves it, but for those of another unit that is "
    "served from there. Where every dwelling of the site has its units here, ``site.floor_area`` and the circuits there are left out.",
):
    served_by: Text = described(
        ...,
        "Tag of the panel, main or meter of this unit alone, through which its whole load comes; none where nothing in the file serves it.",
    )
    floor_area: Area = described(None, meanings.FLOOR_AREA)
    small_appliance_circuits: Count = described(None, meanings.SMALL_APPLIANCE_CIRCUITS)
    laundry_circuits: Count = described(None, meanings.LAUNDRY_CIRCUITS)


class BuildingUseModel(
    Section,
    says="What a building or structure of the site is used for. ``attached_to`` names the building with which it is one structure, or says "
    "``none`` where it stands by itself or behind a fire wall; without it the outlines of the plan tell. ``site.dwelling`` and "
    "``site.sprinklers`` speak of the house.",
):
    use: Annotated[str, one_of(*BUILDING_USES), choice_schema(*BUILDING_USES)] = described(
        "", "What it is used for, as a dwelling by its kind, a garage, a barn, a workshop, or a pole or pedestal that is no building."
    )
    attached_to: Text = described(
        "", "Name of the building with which it is one structure, or none where it stands by itself or behind a fire wall."
    )
    sprinklers: There = described(None, "Whether this building has fire sprinklers throughout.")
    units: dict[str, DwellingUnitModel] = described(
        dict, "Its dwelling units by name, for example the two of a two-family dwelling, each with what serves it and its floor area."
    )
