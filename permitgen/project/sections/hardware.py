"""Parts of the hardware models that several kinds of equipment share."""

from __future__ import annotations

import re
from typing import Annotated, Any, ClassVar

from pydantic import Field, PlainValidator, WithJsonSchema, model_validator

from permitgen.project import quantities
from permitgen.project.directions import Compass
from permitgen.project.fields import (
    NONE,
    Count,
    Current,
    KiloAmperes,
    Length,
    Section,
    Size,
    SmallLength,
    Temperature,
    Text,
    Torque,
    Whole,
    WireRange,
    Words,
    YesNo,
    choice_schema,
    one_of,
)
from permitgen.project.sections.facts import Point
from permitgen.reading.nearest import did_you_mean

_ASKS_FOR_SIZE = re.compile(r"(?:([1-4])P )?size")


VEHICLE_PROTECTION = ("bollard", "raised mount", "wall", "out of vehicle path", "none")
FIRE_DETECTION = ("smoke alarm", "heat detector", "none")
VENTILATION = ("natural", "mechanical", "none")


class PlaceModel(
    Section,
    says="Where a thing stands. ``opposite`` is what faces it across the working space, ``bottom_height`` the height of its lower edge.",
):
    description: Text = ""
    building: Text = ""
    space: Text = ""
    outdoors: YesNo = None
    readily_accessible: YesNo = None
    in_sight_of: Words = ()
    handle_height: SmallLength = None
    bottom_height: SmallLength = None
    map: Point = Field(default_factory=list)
    faces: Compass = None
    clear_depth: Length = None
    clear_width: SmallLength = None
    clear_height: Length = None
    to_door_or_window: Length = None
    to_next_unit: Length = None
    opposite: Annotated[str, one_of("insulated", "grounded", "live"), choice_schema("insulated", "grounded", "live")] = ""
    dedicated_space: Annotated[str, one_of("clear", "obstructed"), choice_schema("clear", "obstructed")] = ""
    vehicle_protection: Annotated[str, one_of(*VEHICLE_PROTECTION), choice_schema(*VEHICLE_PROTECTION)] = ""
    fire_detection: Annotated[str, one_of(*FIRE_DETECTION), choice_schema(*FIRE_DETECTION)] = ""
    ventilation: Annotated[str, one_of(*VENTILATION), choice_schema(*VENTILATION)] = ""
    to_receptacle: Length = None


# What breakers and fuses of dwellings are marked for on ac; for dc any voltage may be marked.
MARKED_VOLTAGES = ("120 V", "120/240 V", "240 V", "250 V", "277 V", "480Y/277 V", "480 V", "600 V", "1000 V")
_MARKED_DC = re.compile(r"([1-9][0-9]{0,3}) ?V ?dc", re.IGNORECASE)


def _read_marked_voltage(value: Any) -> str:
    text = " ".join(str(value).split())
    found = _MARKED_DC.fullmatch(text)
    if found is not None:
        return f"{found[1]} V dc"
    if text and text not in MARKED_VOLTAGES:
        raise ValueError(f"expected what the device is marked for: {', '.join(MARKED_VOLTAGES)}, or a dc voltage such as 600 V dc")
    return text


MarkedVoltage = Annotated[
    str, PlainValidator(_read_marked_voltage), WithJsonSchema({"type": "string", "examples": [*MARKED_VOLTAGES, "600 V dc"]})
]


class DeviceModel(Section, says="An overcurrent device. Short form: ``2P 60 A``."):
    silence_is_none: ClassVar[bool] = True
    rating: Current = None
    poles: Whole | None = None
    kind: Annotated[str, one_of("circuit breaker", "fuse"), choice_schema("circuit breaker", "fuse")] = "circuit breaker"
    interrupting_rating: KiloAmperes = None
    space: Annotated[str, one_of("full", "half", "quad"), choice_schema("full", "half", "quad")] = "full"
    marked_line_and_load: YesNo = None
    fastened: YesNo = None
    listed_for_100_percent: YesNo = False
    adjustable: YesNo = False
    highest_setting: Current = None
    restricted_access: YesNo = None
    nonstandard: YesNo = False
    voltage: MarkedVoltage = ""
    dc_rated: YesNo = None
    polarity: Annotated[str, one_of("positive", "negative"), choice_schema("positive", "negative")] = ""

    @model_validator(mode="before")
    @classmethod
    def read_short_form(cls, value: Any) -> Any:
        """Turn ``2P 60 A`` into a mapping."""
        if not isinstance(value, str):
            return value
        if quantities.is_unknown(value):
            raise ValueError("whether a device is here decides what is judged; write none, or the device with what is known of it")
        asked = _ASKS_FOR_SIZE.fullmatch(value.strip())
        if asked is not None:
            return {"poles": asked[1]} if asked[1] else {}
        found = quantities.parse_breaker(value)
        short: dict[str, Any] = {"rating": f"{found.rating_a:g} A"}
        if found.poles is not None:
            short["poles"] = str(found.poles)
        return short


class TerminalModel(Section, says="A terminal."):
    wire: WireRange = None
    materials: Words = ()
    conductors: Count = None
    temperature: Temperature = None
    torque: Torque = None
    torque_source: Text = "equipment marking"
    fine_stranded: YesNo = None
    accepts: Annotated[
        str,
        one_of("energy storage", "photovoltaic", "generator", "any source"),
        choice_schema("energy storage", "photovoltaic", "generator", "any source"),
    ] = ""
    relay: Text = ""
    rating: Current = None
    device: DeviceModel | None = None
    largest_device: Current = None
    factory_conductor: Size | None = None
    faces: Annotated[str, one_of("top", "bottom", "left", "right"), choice_schema("top", "bottom", "left", "right")] = ""
    lay_in: YesNo = None
    closed_in: Words = ()


def _read_bond(value: Any) -> str:
    text = value.strip() if isinstance(value, str) else ""
    choices = ("installed", "removed", "factory fixed", "none possible", "none", "unknown")
    if text.casefold() == NONE:
        return "removed"
    if text not in choices:
        raise ValueError(f'"{value}" is not one of: {", ".join(choices)}{did_you_mean(text, choices)}')
    return text


Bond = Annotated[
    str, PlainValidator(_read_bond), WithJsonSchema({"enum": ["installed", "removed", "factory fixed", "none possible", "none", "unknown"]})
]


def _read_island_bond(value: Any) -> str:
    text = value.strip() if isinstance(value, str) else ""
    return text if text == "automatic" else _read_bond(value)


ISLAND_BONDS = ("automatic", "installed", "removed", "factory fixed", "none possible", "none", "unknown")
IslandBond = Annotated[str, PlainValidator(_read_island_bond), WithJsonSchema({"enum": list(ISLAND_BONDS)})]
