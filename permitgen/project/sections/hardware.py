"""Parts of the hardware models that several kinds of equipment share."""

from __future__ import annotations

import re
from typing import Annotated, Any, ClassVar

from pydantic import PlainValidator, WithJsonSchema, model_validator

from permitgen.project import quantities
from permitgen.project.directions import Facing
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
    There,
    Torque,
    Whole,
    Words,
    YesNo,
    choice_schema,
    described,
    one_of,
)
from permitgen.project.plausible_fields import Rating
from permitgen.project.sections import meanings
from permitgen.project.sections.plan import Point
from permitgen.project.sections.told_places import SpotModel
from permitgen.project.value_schemas import words_schema
from permitgen.project.wire_range import WireRange
from permitgen.project.word_fields import Metals, Modes, Space
from permitgen.reading.nearest import did_you_mean

_ASKS_FOR_SIZE = re.compile(r"(?:([1-4])P )?size")


VEHICLE_PROTECTION = ("bollard", "raised mount", "wall", "out of vehicle path", "none")
FIRE_DETECTION = ("smoke alarm", "heat detector", "none")
OPPOSITE = ("insulated", "grounded", "live", "none")
VENTILATION = ("natural", "mechanical", "none")
LININGS = ("finished", "noncombustible", "5/8 in type X gypsum board", "bare framing")


# What takes an appliance off its circuit for the person who works on it.
DISCONNECTS = ("switch in sight", "unit switch", "lockable breaker", "breaker in sight", "cord and plug", "none")
DisconnectedBy = Annotated[str, one_of(*DISCONNECTS), choice_schema(*DISCONNECTS)]

DOORS = ("locked", "opened with a tool", "no live parts behind it", "plain")
Door = Annotated[str, one_of(*DOORS), choice_schema(*DOORS)]


class PlaceModel(
    SpotModel,
    says="Where a thing stands. A ``wall`` with a corner and a distance tells building, outdoors, facing, place on the plan and, where "
    "none is stated, the description that is printed; so does ``ground``. ``opposite`` is what faces it across the working space, "
    "``bottom_height`` the height of its lower edge.",
):
    none_means: ClassVar[dict[str, tuple[str, str]]] = {"building": ("outdoors", "yes")}

    description: Text = described("", "Where it is, in words that lead a stranger to it, for example garage, east wall, by the walk.")
    building: Text = described(
        "", f"{meanings.BUILDING_NAME[:-1]}; none for what stands in the open at no building, as on a rack in a field."
    )
    on_array: Text = described(
        "", "Tag of the array to whose frame, posts or carport it is fastened; none for what stands apart from every array."
    )
    space: Space = described("", "Kind of space it stands in, for example garage, basement, closet, outside wall, roof or ground.")
    outdoors: YesNo = described(None, "Whether it stands in the weather; enclosures, wet wiring and service switches depend on it.")
    readily_accessible: YesNo = described(None, meanings.READILY_ACCESSIBLE)
    in_sight_of: Words = described((), "Tags of the equipment that a person standing here sees, not more than 50 ft away.")
    handle_height: SmallLength = described(
        None, "Height of the grip at its highest position above the floor or platform, in inches, by tape."
    )
    bottom_height: SmallLength = described(None, "Height of the lower edge of the enclosure above the floor or ground, in inches, by tape.")
    map: Point = described(list, "Its place on the plan as [x, y] in feet, on the wall where it hangs.")
    faces: Facing = described(None, f"Direction toward which its front looks: {meanings.FACING}; the elevations are drawn from it.")
    clear_depth: Length = described(
        None, "Clear working depth in front of it, in feet, by tape from the enclosure's front or the live parts."
    )
    clear_width: SmallLength = described(None, "Clear width in front of it, in inches, by tape.")
    clear_height: Length = described(None, "Clear height of the working space from the floor, in feet, by tape.")
    to_door_or_window: Length = described(None, "Distance to the nearest door or window of the dwelling, in feet, by tape along the wall.")
    to_next_unit: Length = described(None, "Distance to the nearest other energy storage unit, in feet or inches, by tape.")
    opposite: Annotated[str, one_of(*OPPOSITE), choice_schema(*OPPOSITE)] = described(
        "", "What faces it across the working space: insulated (wood, drywall), grounded (concrete, brick, metal), live parts; or none."
    )
    dedicated_space: Annotated[str, one_of("clear", "obstructed"), choice_schema("clear", "obstructed")] = described(
        "", "Whether the space above and below the panel, floor to ceiling, is clear of pipes and ducts."
    )
    vehicle_protection: Annotated[str, one_of(*VEHICLE_PROTECTION), choice_schema(*VEHICLE_PROTECTION)] = described(
        "", "What keeps vehicles off equipment in a garage: bollard, raised mount, wall, out of vehicle path, or none."
    )
    fire_detection: Annotated[str, one_of(*FIRE_DETECTION), choice_schema(*FIRE_DETECTION)] = described(
        "", "What listed fire detector serves the room of the energy storage: smoke alarm, heat detector or none."
    )
    ventilation: Annotated[str, one_of(*VENTILATION), choice_schema(*VENTILATION)] = described(
        "", "How the room of a battery is ventilated: natural, mechanical or none."
    )
    lining: Annotated[str, one_of(*LININGS), choice_schema(*LININGS)] = described(
        "", "Walls and ceiling of the room of energy storage: finished, noncombustible, gypsum board on framing, or bare framing."
    )
    moisture: Annotated[str, one_of("dry", "damp", "wet"), choice_schema("dry", "damp", "wet")] = described(
        "", "How wet a place indoors is: damp in a cold cellar or crawl space, wet where it is washed down or dripped on."
    )
    distances: dict[str, Length] = described(
        dict, "Distances from it to the nearest thing of a kind that a local rule names, as gas meter or property line, in feet, by tape."
    )
    under_stairs: YesNo = described(None, "Whether it stands below a flight of stairs, which some local rules forbid to energy storage.")
    access_width: SmallLength = described(
        None, "Width of the opening through which one gets into the attic or crawl space where it stands, in inches, by tape."
    )
    access_length: SmallLength = described(None, "Other side of that opening, in inches, by tape.")
    to_receptacle: Length = described(None, "Distance from it to the nearest 125 V receptacle outlet for servicing, in feet, by tape.")


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
    str,
    PlainValidator(_read_marked_voltage),
    WithJsonSchema({"anyOf": [{"enum": list(MARKED_VOLTAGES)}, {"type": "string", "pattern": r"^\s*([0-9].*[Vv].*)?$"}]}),
]


DEVICE_STATES = ("new", "existing", "relocated")


class DeviceModel(Section, says="An overcurrent device. Short form: ``2P 60 A``, or ``fuses 60A 2P 100kA``."):
    silence_is_none: ClassVar[bool] = True
    rating: Rating = described(None, "Ampere rating on the handle or the fuse; left out, the smallest that is permitted is chosen.")
    poles: Whole | None = described(None, "How many poles open together, from the handle.")
    kind: Annotated[str, one_of("circuit breaker", "fuse"), choice_schema("circuit breaker", "fuse")] = described(
        "circuit breaker", "Whether the device is a circuit breaker or a fuse."
    )
    interrupting_rating: KiloAmperes = described(
        None, "Highest fault current that it interrupts, in kiloamperes, from its label (AIC); 10 kA is the common least."
    )
    space: Annotated[str, one_of("full", "half", "quad"), choice_schema("full", "half", "quad")] = described(
        "full", "Space that it takes in the panel: full, half (two in one space) or quad (two two-pole breakers in two spaces)."
    )
    marked_line_and_load: YesNo = described(None, "Whether its terminals are marked line and load, so that it may not be back-fed.")
    fastened: YesNo = described(None, "Whether a back-fed breaker is held by a fastener or bolt so that it cannot be pulled off by hand.")
    listed_for_100_percent: YesNo = described(False, "Whether the breaker is marked for 100 percent continuous load in its enclosure.")
    adjustable: YesNo = described(False, "Whether its trip current can be set without changing a part.")
    highest_setting: Current = described(None, "Highest long-time trip setting of an adjustable breaker, in amperes, from its dial.")
    restricted_access: YesNo = described(
        None, "Whether the adjusting means sit behind a bolted, locked or sealed cover that only qualified persons open."
    )
    nonstandard: YesNo = described(False, "Whether the device exists in this rating although the rating is not in the standard list.")
    voltage: MarkedVoltage = described("", "Voltage that the device is marked for, for example 120/240 V or 600 V dc, from its label.")
    dc_rated: YesNo = described(None, "Whether the device is marked for direct current.")
    listed_for_pv: YesNo = described(None, "Whether the device is listed for photovoltaic circuits, from the mark on it.")
    current_limiting: YesNo = described(None, "Whether the device is listed and marked as current limiting.")
    ground_fault_protection: There = described(
        None, "Whether it protects persons from ground faults (Class A, test button), from its label."
    )
    arc_fault_protection: There = described(None, "Whether it protects from arc faults, from its label.")
    listed_for_backfeed: YesNo = described(None, "Whether a breaker with such protection is listed and marked to be back-fed.")
    handle_tied: YesNo = described(
        None, "Whether its poles are single breakers with a handle tie rather than one breaker whose poles trip together."
    )
    lockable: YesNo = described(None, meanings.LOCKABLE)
    polarity: Annotated[str, one_of("positive", "negative"), choice_schema("positive", "negative")] = described(
        "", "Conductor of a dc circuit in which a one-pole device sits: positive or negative."
    )
    name: Text = described(
        "", "The one name of the device: the words on its label, as placard, directory, sheets and checklist print them."
    )
    status: Annotated[str, one_of(*DEVICE_STATES), choice_schema(*DEVICE_STATES)] = described(
        "", "Whether the device itself is new, existing or relocated in this work, for the panel schedule."
    )

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
        found = quantities.parse_device(value)
        short: dict[str, Any] = {"rating": f"{found.breaker.rating_a:g} A"}
        if found.breaker.poles is not None:
            short["poles"] = str(found.breaker.poles)
        if found.kind:
            short["kind"] = found.kind
        if found.interrupting_rating:
            short["interrupting_rating"] = found.interrupting_rating
        return short


class TerminalModel(Section, says="A terminal."):
    wire: WireRange = described(
        None, "Smallest and largest conductor that the lug takes, from the label in the enclosure, for example 14 AWG to 1 AWG."
    )
    materials: Metals = described((), "Conductor metals that the lug is marked for, from the label: Cu, Al, or both.")
    conductors: Count = described(None, "How many conductors may land under one screw of this terminal, from the label.")
    temperature: Temperature = described(None, "Temperature rating of the terminal, in degrees, from the label: 60 °C, 75 °C or 90 °C.")
    torque: Torque = described(None, "Tightening torque of the terminal, in pound-inches, from the label or instructions.")
    torque_source: Text = described(
        "equipment marking", "Where the torque was read, for example equipment marking or installation instructions."
    )
    fine_stranded: YesNo = described(None, "Whether the terminal is identified for fine-stranded conductors.")
    accepts: Annotated[
        str,
        one_of("energy storage", "photovoltaic", "generator", "any source"),
        choice_schema("energy storage", "photovoltaic", "generator", "any source"),
    ] = described("", "Kind of source that this input is made for: energy storage, photovoltaic, generator or any source.")
    relay: Text = described("", "Name of the relay behind this input inside the device, as its wiring diagram calls it.")
    rating: Current = described(None, "Current rating of this terminal or input, in amperes, from the label.")
    device: DeviceModel | None = described(None, "Overcurrent device that comes with this terminal, built in by the manufacturer.")
    largest_device: Current = described(None, "Largest overcurrent device that this input takes, in amperes, from the label.")
    factory_conductor: Size | None = described(
        None, "Size of the conductor that the manufacturer attached in place of a lug (pigtail or whip)."
    )
    faces: Annotated[str, one_of("top", "bottom", "left", "right"), choice_schema("top", "bottom", "left", "right")] = described(
        "", "Wall that lies opposite the terminal, toward which its conductors leave: top, bottom, left or right."
    )
    lay_in: YesNo = described(None, "Whether the lug is removable or lay-in, for which less bending space is enough.")
    closed_in: Modes = described((), "Operating modes in which the relay of this input is closed, where they differ from the usual ones.")


BONDS = ("installed", "removed", "factory fixed", "none possible", "none", "unknown")


def _read_bond(value: Any) -> str:
    text = value.strip() if isinstance(value, str) else ""
    if text.casefold() == NONE:
        return "removed"
    if text not in BONDS:
        raise ValueError(f'"{value}" is not one of: {", ".join(BONDS)}{did_you_mean(text, BONDS)}')
    return text


def _bond_schema(*choices: str) -> WithJsonSchema:
    return WithJsonSchema({"anyOf": [{"enum": list(choices)}, words_schema(NONE)]})


Bond = Annotated[str, PlainValidator(_read_bond), _bond_schema(*BONDS)]


def _read_island_bond(value: Any) -> str:
    text = value.strip() if isinstance(value, str) else ""
    return text if text == "automatic" else _read_bond(value)


IslandBond = Annotated[str, PlainValidator(_read_island_bond), _bond_schema("automatic", *BONDS)]
