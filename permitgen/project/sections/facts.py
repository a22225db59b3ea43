"""The sections ``project``, ``jurisdiction``, ``site`` and ``record``."""

from __future__ import annotations

import re
from typing import Annotated
from urllib.parse import urlsplit

from pydantic import AfterValidator, Field, PlainValidator, WithJsonSchema, model_validator

from permitgen.project.directions import Compass, Pitch
from permitgen.project.fields import (
    Area,
    Count,
    Current,
    Day,
    Length,
    Number,
    Power,
    RecordLow,
    Section,
    Temperature,
    Text,
    Whole,
    Words,
    YesNo,
    choice_schema,
    one_of,
)
from permitgen.reading.problems import quoted

EDITIONS = ("2017", "2020", "2023", "2026")


def _read_edition(value: object) -> str:
    text = value.strip() if isinstance(value, str) else str(value)
    if text not in EDITIONS:
        raise ValueError(f"there is no NEC {text} in this program; editions known: {', '.join(EDITIONS)}")
    return text


Edition = Annotated[str, PlainValidator(_read_edition), choice_schema(*EDITIONS)]


class RevisionModel(
    Section,
    says="One revision of the permit documents. ``file`` is the project file as it then was, kept in the project folder.",
):
    number: Whole
    date: Day
    reason: Text
    by: Text = ""
    file: Text = ""


class PersonModel(Section, says="Somebody with a role in the project."):
    role: Text
    name: Text = ""
    company: Text = ""
    license: Text = ""
    phone: Text = ""
    email: Text = ""


class ProjectModel(Section, says="The title block's facts."):
    name: Text
    number: Text = ""
    address: Text = ""
    description: Text = ""
    permit_number: Text = ""
    revisions: list[RevisionModel] = Field(default_factory=list)
    people: list[PersonModel] = Field(default_factory=list)


class JurisdictionModel(Section, says="Who reviews and under which code."):
    name: Text
    edition: Edition
    authority: Text = ""
    amendments: Words = ()
    fire_code: Text = ""
    options: dict[str, Text] = Field(default_factory=dict)
    asks_for: Words = ()


class ClimateModel(Section, says="Design temperatures and where they come from."):
    record_low: RecordLow = None
    design_high: Temperature = None
    ground: Temperature = None
    source: Text = ""


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


Point = Annotated[list[Number], AfterValidator(_two_numbers), AfterValidator(_on_a_site)]
Outline = Annotated[list[Point], AfterValidator(_an_outline)]
Way = Annotated[list[Point], AfterValidator(_a_way)]
Eave = Annotated[list[Point], AfterValidator(_an_eave)]


class BuildingModel(Section, says="A building's outline on the plan, in feet."):
    outline: Outline
    label: Text = ""
    dwelling: YesNo = None


class RoofPlaneModel(
    Section,
    says="A roof plane in plan: its corners, its pitch, the outlines of arrays on it, and the way it falls: ``eave`` is two points of its "
    "lower edge, from which it falls squarely; without one it falls square to the edge that ``faces`` fits best.",
):
    building: Text = ""
    outline: Outline
    pitch: Pitch = None
    faces: Compass = None
    eave: Eave = Field(default_factory=list)
    arrays: list[Outline] = Field(default_factory=list)


class FeatureModel(
    Section,
    says="Something else that the plan shows: a driveway, a street, a tree, a gas meter, a door, a window, an emergency escape opening. "
    "``width`` is that of an opening, ``at`` its middle on the wall.",
):
    kind: Text
    outline: Way = Field(default_factory=list)
    at: Point = Field(default_factory=list)
    width: Length = None
    label: Text = ""


OBSTRUCTIONS = ("vent", "skylight", "chimney", "dish", "equipment", "other")


class ObstructionModel(
    Section,
    says="Something on a roof that firefighters would meet: round with ``at`` and ``diameter``, else an ``outline`` in plan.",
):
    kind: Annotated[str, one_of(*OBSTRUCTIONS), choice_schema(*OBSTRUCTIONS)]
    at: Point = Field(default_factory=list)
    diameter: Length = None
    outline: Outline = Field(default_factory=list)
    label: Text = ""


class BollardModel(Section, says="A post that keeps vehicles away, at its middle."):
    at: Point
    diameter: Length = None
    height: Length = None


class PlanModel(
    Section,
    says="Site geometry in feet, x to the right, y up the page. ``north`` is the compass direction of the page's up, degrees; in "
    "its stead ``front_faces`` is what a compass reads at the front of the house, looking out, where the bottom of the page is the front. "
    "``openings_shown`` names the walls of which every door and window is drawn, a building or one side of it (``garage, east``), "
    "each with who looked and when; a wall that it does not name may have more. "
    "``escape_openings_above_roofs`` says no where no emergency escape opening has a roof below it; where one has, it is a "
    "feature.",
):
    north: Number | None = None
    front_faces: Compass = None
    lot: Outline = Field(default_factory=list)
    buildings: dict[str, BuildingModel] = Field(default_factory=dict)
    roof_planes: dict[str, RoofPlaneModel] = Field(default_factory=dict)
    features: list[FeatureModel] = Field(default_factory=list)
    openings_shown: dict[str, Text] = Field(default_factory=dict)
    escape_openings_above_roofs: YesNo = None
    obstructions: list[ObstructionModel] = Field(default_factory=list)
    bollards: list[BollardModel] = Field(default_factory=list)

    @model_validator(mode="after")
    def say_north_once(self) -> PlanModel:
        """Refuse two statements of one direction."""
        if self.north is not None and self.front_faces is not None:
            raise ValueError("north and front_faces both say how the page lies; expected one of the two")
        return self


class MeasuredDemandModel(Section, says="The measured maximum demand of an existing service and how it was recorded."):
    peak: Current = None
    peak_power: Power = None
    record: Annotated[str, one_of("one year", "30 days"), choice_schema("one year", "30 days")] = ""
    sources_connected: YesNo = None
    source: Text = ""


# What a building or structure is used for, as ``use`` says: dwellings, buildings that nobody lives in, structures that are no building.
DWELLING_USES = ("one-family", "two-family", "townhouse", "other dwelling")
NONHABITABLE_USES = ("garage", "carport", "barn", "shed")
OTHER_USES = ("workshop", "other")
STRUCTURE_USES = ("pole", "pedestal")
BUILDING_USES = (*DWELLING_USES, *NONHABITABLE_USES, *OTHER_USES, *STRUCTURE_USES)


class BuildingUseModel(
    Section,
    says="What a building or structure of the site is used for. ``attached_to`` names the building with which it is one structure, or says "
    "``none`` where it stands by itself or behind a fire wall; without it the outlines of the plan tell. ``site.dwelling`` and "
    "``site.sprinklers`` speak of the house.",
):
    use: Annotated[str, one_of(*BUILDING_USES), choice_schema(*BUILDING_USES)] = ""
    attached_to: Text = ""
    sprinklers: YesNo = None


ROOF_FIRE_CLASSES = ("A", "B", "C", "none required")


class SiteModel(Section, says="The dwelling, its climate and its plan."):
    dwelling: Annotated[
        str, one_of("one-family", "two-family", "townhouse", "other"), choice_schema("one-family", "two-family", "townhouse", "other")
    ] = ""
    floor_area: Area = None
    existing_dwelling: YesNo = None
    sprinklers: YesNo = None
    roof_fire_class: Annotated[str, one_of(*ROOF_FIRE_CLASSES), choice_schema(*ROOF_FIRE_CLASSES)] = ""
    small_appliance_circuits: Count = None
    laundry_circuits: Count = None
    measured_demand: MeasuredDemandModel | None = None
    climate: ClimateModel = Field(default_factory=ClimateModel)
    buildings: dict[str, BuildingUseModel] = Field(default_factory=dict)
    plan: PlanModel | None = None


RECORD_PARTS = ("emergency", "owner", "electrician")


def _known_parts(words: tuple[str, ...]) -> tuple[str, ...]:
    for word in words:
        if word not in RECORD_PARTS:
            never = "names, telephone and serial numbers and network facts are never public"
            raise ValueError(f"{quoted(word)} is not a part of the record ({', '.join(RECORD_PARTS)}); {never}")
    return words


RecordParts = Annotated[Words, AfterValidator(_known_parts)]
RECORD_STATUSES = ("in service", "do not energize", "removed")


def _read_web_address(value: object) -> str:
    text = value.strip() if isinstance(value, str) else str(value)
    try:
        parts = urlsplit(text)
        is_usable = (
            parts.scheme.lower() in {"http", "https"} and _HOST.fullmatch(parts.hostname or "") is not None and parts.username is None
        )
    except ValueError:  # brackets that are no address, a port that is no number
        is_usable = False
    if text and not (is_usable and _IN_AN_ADDRESS.fullmatch(text) and len(text) <= _LONGEST_ADDRESS):
        raise ValueError(f"{quoted(text)} is not a web address; write it with https:// and the name of a host, for example {_EXAMPLE}")
    return text


_HOST = re.compile(r"[a-z0-9](?:[a-z0-9.-]*[a-z0-9])?|[0-9a-f:.]+")
_IN_AN_ADDRESS = re.compile(r"[A-Za-z0-9._~:/?#\[\]@!$&()*+,;=%-]+")
_LONGEST_ADDRESS = 200
_EXAMPLE = "https://records.example/17"
WebAddress = Annotated[str, PlainValidator(_read_web_address), WithJsonSchema({"type": "string", "format": "uri", "examples": [_EXAMPLE]})]


class RecordModel(
    Section,
    says="The public record: its short address, what may stand in it, and translations of the project's own words by language.",
):
    address: WebAddress = ""
    id: Text = ""
    address_public: YesNo = False
    public: RecordParts = ()
    emergency_contact: Text = ""
    status: Annotated[str, one_of(*RECORD_STATUSES), choice_schema(*RECORD_STATUSES)] = "in service"
    translations: dict[str, dict[str, Text]] = Field(default_factory=dict)
