"""Compass directions, sides of a house and pitches as people write them."""

from __future__ import annotations

import math
import re
from typing import Annotated

from pydantic import PlainValidator, WithJsonSchema

from permitgen.project.quantity_words import is_unknown
from permitgen.project.value_schemas import words_schema
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.system.site.compass import WORDS, Direction

_DEGREES = re.compile(r"([0-9]{1,3}(?:\.[0-9]+)?) ?(?:°|deg|degrees)")
_PITCH = re.compile(r"([0-9]{1,3}(?:\.[0-9]+)?) ?[/:] ?([0-9]{1,3}(?:\.[0-9]+)?)")
_BY_LETTERS = {word.replace("-", ""): index * 360 / len(WORDS) for index, word in enumerate(WORDS)}

# For the schema: degrees with their sign, or points of the compass one after the other.
_POINT = "([Nn][Oo][Rr][Tt][Hh]|[Ss][Oo][Uu][Tt][Hh]|[Ee][Aa][Ss][Tt]|[Ww][Ee][Ss][Tt])"
_SCHEMA_PATTERN = rf"^\s*([0-9].*(°|deg)|{_POINT}([- ]*{_POINT})*\s*$)"


def read_direction(value: object) -> Direction | None:
    """Read a compass word or degrees; None where it is empty or unknown.

    Raises:
        ValueError: neither.
    """
    if value is None or isinstance(value, Direction):
        return value
    text = value.strip() if isinstance(value, str) else str(value)
    if not text or is_unknown(text):
        return None
    bearing = _BY_LETTERS.get(text.casefold().replace("-", "").replace(" ", ""))
    degrees = _DEGREES.fullmatch(text)
    if degrees is not None and float(degrees[1]) <= 360:
        bearing = float(degrees[1]) % 360
    if bearing is None:
        expected = "expected a compass word (north, north-northeast, north-east …) or degrees from true north, such as 203°"
        raise ValueError(f"{quoted(text)} is not a direction; {expected}{did_you_mean(text, WORDS)}")
    return Direction(bearing)


Compass = Annotated[
    Direction | None,
    PlainValidator(read_direction),
    WithJsonSchema({"anyOf": [{"type": "string", "pattern": _SCHEMA_PATTERN}, words_schema("unknown")], "examples": ["south", "203°"]}),
]


SIDES = ("front", "right", "back", "left")
"""Sides as seen from the street; what a compass reads at the front door turns them into directions."""


def _read_facing(value: object) -> Direction | str | None:
    side = value.strip().casefold() if isinstance(value, str) else ""
    if side in SIDES:
        return side
    try:
        return read_direction(value)
    except ValueError as error:
        expected = "expected front, right, back or left as seen from the street, a compass word, or degrees from true north, such as 203°"
        raise ValueError(f"{quoted(str(value))} is not a direction; {expected}{did_you_mean(str(value), (*SIDES, *WORDS))}") from error


Facing = Annotated[
    Direction | str | None,
    PlainValidator(_read_facing),
    WithJsonSchema(
        {
            "anyOf": [{"type": "string", "pattern": _SCHEMA_PATTERN}, words_schema(*SIDES), words_schema("unknown")],
            "examples": ["right", "south", "203°"],
        }
    ),
]
"""A direction, or a side as seen from the street."""


def _read_pitch(value: object) -> float | None:
    if value is None or isinstance(value, float):
        return value
    text = value.strip() if isinstance(value, str) else str(value)
    if not text or is_unknown(text):
        return None
    found = _PITCH.fullmatch(text)
    if found is not None and float(found[2]) > 0:
        return float(found[1]) / float(found[2])
    degrees = _DEGREES.fullmatch(text)
    if degrees is not None and float(degrees[1]) < 90:
        return math.tan(math.radians(float(degrees[1])))
    raise ValueError(f"{quoted(text)} is not a pitch; expected rise over run, such as 5/12, or degrees, such as 22.6°")


Pitch = Annotated[
    float | None,
    PlainValidator(_read_pitch),
    WithJsonSchema({"anyOf": [{"type": "string", "pattern": "[0-9]"}, words_schema("unknown")], "examples": ["5/12", "22.6°"]}),
]
