"""The site on paper: buildings and what they are used for, roofs, openings and what else the plan shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, GetJsonSchemaHandler, model_validator

from permitgen.project.directions import SIDES, Compass, Facing, Pitch
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
from permitgen.project.plan_values import (
    SIZE_SCHEMA,
    BackOrForward,
    RightOrLeft,
    Size,
    Stop,
    on_a_site,
    read_plan_size,
    two_numbers,
)
from permitgen.project.sections import meanings
from permitgen.project.sections.streets import StreetModel, require_streets_that_meet
from permitgen.project.sections.told_places import GroundModel, LayoutModel, RoofModel, SetbackModel, SpotModel
from permitgen.project.word_fields import Space
from permitgen.system.site.building import DWELLING_USES, NONHABITABLE_USES, STRUCTURE_USES
from permitgen.system.site.plan import STREETS

_LEAST_AREA_FT2 = 0.01


def _an_outline(corners: list[list[float]]) -> list[list[float]]:
    if len(corners) < 3:
        raise ValueError(f"an outline has three corners or more; found {len(corners)}")
    around = zip(corners, [*corners[1:], corners[0]], strict=True)
    if abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in around)) < _LEAST_AREA_FT2:
        raise ValueError("the corners of this outline enclose no area; list them in order around it")
    return corners


def _a_way(points: list[Any]) -> list[Any]:
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


def _corners_of_size(value: Any) -> Any:
    """Return the corners of a lot told by its size, from its front left one; anything else as it is."""
    return read_plan_size(value).outline_from(0.0, 0.0) if isinstance(value, str) else value


class _OrSize:
    """A list in the schema, or the size of a rectangle."""

    def __get_pydantic_json_schema__(self, schema: Any, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"anyOf": [handler(schema), SIZE_SCHEMA]}


Point = Annotated[list[Number], AfterValidator(two_numbers), AfterValidator(on_a_site), _Holds(2, 2)]
Outline = Annotated[list[Point], AfterValidator(_an_outline), _Holds(3, None)]
LotOutline = Annotated[Outline, BeforeValidator(_corners_of_size), _OrSize()]
Way = Annotated[list[Point], AfterValidator(_a_way), _Holds(2, None)]
Route = Annotated[list[Stop], AfterValidator(_a_way), _Holds(2, None)]
Eave = Annotated[list[Point], AfterValidator(_an_eave), _Holds(0, 2)]


class RoomModel(
    Section,
    says="A room of a building: its ``outline`` in feet, or its ``size`` and the corner or the wall at which it lies in a building of four "
    "square corners. Its walls are called by building, room and side, as ``house garage left inside``.",
):
    outline: Outline = described(list, meanings.OUTLINE)
    size: Size | None = described(None, "Its width along the street and its depth away from it, for example 20 ft x 22 ft, by tape.")
    at: Text = described(
        "", "Corner of the building in which it lies, as front right corner, or the wall against which it lies, as right wall."
    )
    from_: Text = described("", "Corner of that wall from which the distance is measured, where it lies along a wall.", alias="from")
    distance: Length = described(None, "Distance along that wall from that corner to the room, in feet, by tape.")
    space: Space = described("", "Kind of space it is, for example garage, basement, closet or utility room; left out, its name says it.")

    @model_validator(mode="after")
    def lie_in_one_way(self) -> RoomModel:
        """Refuse a room without extent or with two, and one whose place is not told."""
        if bool(self.outline) == (self.size is not None):
            raise ValueError("a room is told by its outline or by its size, one of the two")
        stray = next((key for key, told in (("at", self.at), ("from", self.from_), ("distance", self.distance)) if told), "")
        if self.outline and stray:
            raise ValueError(f"the outline says where the room lies; {stray} goes with a size")
        if self.size is not None and not self.at:
            raise ValueError("a room told by its size lies at a corner or a wall of its building; expected at, as front right corner")
        return self


class BuildingModel(
    Section,
    says="A building on the plan: its ``outline`` in feet, or its ``size`` and where it stands, which is one of ``setback``, ``beside``, "
    "``behind``, ``in_front_of`` and ``front_left``; the only building of a plan without a lot needs none of them. "
    "Without ``detached`` it stands wall against wall.",
):
    outline: Outline = described(list, meanings.OUTLINE)
    size: Size | None = described(None, "Its width along the street and its depth away from it, for example 52 ft x 30 ft, by tape.")
    setback: SetbackModel | None = described(None, "Where it stands by distances from the lot lines.")
    beside: Text = described("", "Building and side beside which it stands, as house right.")
    behind: Text = described("", "Building behind which it stands, as seen from the street.")
    in_front_of: Text = described("", "Building before which it stands, as seen from the street.")
    detached: Length = described(None, "Clear distance between the two buildings, in feet, by tape; left out, they touch.")
    front: BackOrForward = described(None, "Its front wall beside the other building's: flush, or so far back or forward, by tape.")
    back: BackOrForward = described(None, "Its back wall beside the other building's: flush, or so far back or forward, by tape.")
    left: RightOrLeft = described(None, "Its left wall behind or before the other's: flush, or so far right or left, by tape.")
    right: RightOrLeft = described(None, "Its right wall behind or before the other's: flush, or so far right or left, by tape.")
    front_left: Point = described(list, "Its front left corner as [x, y] in feet, on a plan that is drawn in coordinates.")
    roof: RoofModel | None = described(None, "Its roof by ridge and pitch, in place of roof planes in coordinates.")
    rooms: dict[str, RoomModel] = described(dict, "Its rooms by name, each by its size and the corner or wall at which it lies.")
    label: Text = described("", meanings.DRAWN_LABEL)
    dwelling: YesNo = described(None, "Whether people live in this building; setbacks of storage and exits depend on it.")

    @model_validator(mode="after")
    def stand_in_one_way(self) -> BuildingModel:
        """Refuse a building without extent or with two, and one that stands in several ways or in none."""
        if bool(self.outline) == (self.size is not None):
            raise ValueError("a building is told by its outline or by its size, one of the two")
        told = [key for key in (*_STANDS, *_HOW_IT_STANDS) if getattr(self, key)]
        if self.outline and told:
            raise ValueError(f"the outline says where the building stands; {told[0]} goes with a size")
        ways = [key for key in told if key in _STANDS]
        if len(ways) > 1:
            raise ValueError(f"{ways[0]} and {ways[1]} both say where the building stands; expected one of the two")
        self._stand_in_line([key for key in told if key in _HOW_IT_STANDS], ways[0] if ways else "")
        return self

    def _stand_in_line(self, told: list[str], way: str) -> None:
        """Refuse words on standing in line that do not fit the way in which the building stands, and a neighbor without any."""
        fitting = {"beside": ("front", "back"), "behind": ("left", "right"), "in_front_of": ("left", "right")}.get(way, ())
        stray = [key for key in told if key not in (*fitting, *(("detached",) if fitting else ()))]
        if stray:
            goes = "beside" if stray[0] in ("front", "back") else "behind or in_front_of"
            raise ValueError(f"{stray[0]} goes with {'beside, behind or in_front_of' if stray[0] == 'detached' else goes}")
        if fitting and sum(key in fitting for key in told) != 1:
            raise ValueError(
                f"{way} leaves open how the building stands in line; expected {fitting[0]} or {fitting[1]}, as {fitting[0]}: flush"
            )


_STANDS = ("setback", "beside", "behind", "in_front_of", "front_left")
_HOW_IT_STANDS = ("detached", *SIDES)


class RoofPlaneModel(
    Section,
    says="A roof plane in plan: its corners, its pitch, the outlines of arrays on it, and the way it falls: ``eave`` is two points of its "
    "lower edge, from which it falls squarely; without one it falls square to the edge that ``faces`` fits best. A plane of a roof that "
    "its building tells by the ridge has only its name here, as ``house front``, and its arrays or their layout.",
):
    building: Text = described("", meanings.BUILDING_NAME)
    outline: Outline = described(list, meanings.OUTLINE)
    pitch: Pitch = described(None, "Slope of the roof plane as rise over run, for example 5/12, or in degrees, by level or from the plans.")
    faces: Facing = described(None, f"Direction toward which the roof plane falls: {meanings.FACING}.")
    eave: Eave = described(
        list, "Two points of the lower edge in feet, for a roof plane that does not fall squarely to the direction it faces."
    )
    arrays: list[Outline] = described(list, "Outlines of the arrays that lie on this plane, each a list of corners [x, y] in feet.")
    layout: list[LayoutModel] = described(list, "Modules on this plane in rows and columns, in place of the outlines of arrays.")


class FeatureModel(
    SpotModel,
    says="Something else that the plan shows: a driveway, a street, a tree, a gas meter, a door, a window, an emergency escape opening. "
    "``width`` is that of an opening, ``at`` its middle on the wall; ``wall``, ``from`` and ``distance`` tell the same in words.",
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


class BollardModel(Section, says="A post that keeps vehicles away, at its middle: ``at`` a point, or on the ``ground`` off a wall."):
    at: Point = described(list, meanings.POINT_AT)
    ground: GroundModel | None = described(None, "Its place on the floor or ground, measured from a wall.")
    diameter: Length = described(None, "Diameter of the post, in inches, by tape.")
    height: Length = described(None, "Height of the post above the floor or ground, in inches, by tape.")

    @model_validator(mode="after")
    def stand_somewhere(self) -> BollardModel:
        """Refuse a post without a place, and one with two."""
        if bool(self.at) == (self.ground is not None):
            raise ValueError("a bollard stands at a point or on the ground off a wall; expected at or ground, one of the two")
        return self


class PlanModel(
    Section,
    says="Site geometry in feet, x to the right as seen from the street, y away from it. ``front_faces`` is what a compass reads at the "
    "front door, looking out, and turns everything; a plan drawn in coordinates may say ``north`` instead, the compass direction of "
    "the page's up, and then has no right, left, front and back. Where the lot is told by its size, its front left corner is [0, 0]. "
    "``openings_shown`` names the walls of which every door and window is drawn, a building or one side of it (``garage right``), "
    "each with who looked and when; a wall that it does not name may have more. "
    "``escape_openings_above_roofs`` says no where no emergency escape opening has a roof below it; where one has, it is a "
    "feature.",
):
    north: Number | None = described(None, "Compass direction of the page's up, in degrees from true north; 0 where north is up.")
    front_faces: Compass = described(
        None,
        "What a compass reads at the front door, looking out, in degrees or as a word; the bottom of the page is the front.",
    )
    lot: LotOutline = described(
        list,
        "Corners of the lot line in order around it, each as [x, y] in feet, from the survey or the assessor's map; or its size along the "
        "street and away from it, as 110 ft x 120 ft.",
    )
    buildings: dict[str, BuildingModel] = described(dict, "Buildings on the lot by name, each with its outline, or its size and setback.")
    roof_planes: dict[str, RoofPlaneModel] = described(
        dict, "Roof planes by name, each with outline, pitch and direction; firefighters' pathways are judged on them."
    )
    features: list[FeatureModel] = described(
        list, "What else the plan shows: driveway, street, trees, meters, doors, windows, escape openings."
    )
    features_shown: dict[str, Text] = described(
        dict, "Kinds of features, as gas meter, of which each one on the site is drawn, or none is there, each with who looked and when."
    )
    openings_shown: dict[str, Text] = described(
        dict, "Walls of which every door and window is drawn, as garage or garage right, each with who looked and when."
    )
    escape_openings_above_roofs: There = described(
        None, "Say no where no emergency escape opening has a roof below it; one that has is drawn as a feature."
    )
    obstructions: list[ObstructionModel] = described(
        list, "Vents, skylights, chimneys and the like on the roofs, which narrow firefighters' pathways."
    )
    bollards: list[BollardModel] = described(list, "Posts that keep vehicles away from equipment.")
    vicinity: list[StreetModel] = described(list, "Streets around the lot with the nearest cross street, for the vicinity sketch.")

    @model_validator(mode="after")
    def know_the_streets(self) -> PlanModel:
        """Refuse streets that meet none that is named."""
        drawn = [feature.label for feature in self.features if feature.kind.casefold() in STREETS and feature.label]
        require_streets_that_meet(self.vicinity, drawn, has_front=self.front_faces is not None)
        return self

    @model_validator(mode="after")
    def say_north_once(self) -> PlanModel:
        """Refuse two statements of one direction that are not alike."""
        if self.north is not None and self.front_faces is not None:
            up = self.front_faces.opposite
            if abs((self.north - up.bearing_deg + 180) % 360 - 180) > _COMPASS_DEG:
                raise ValueError(
                    f"north: {self.north:g} and front_faces: {self.front_faces.words} contradict each other, as the "
                    f"bottom of the page is the front and its up is {up.words}; expected one of the two, or both alike"
                )
        return self


_COMPASS_DEG = 1.0


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
