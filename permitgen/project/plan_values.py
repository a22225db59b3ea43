"""Sizes in plan, how one building stands beside another, and the stops of a way, as people write them."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema

from permitgen.project.measured import text_of
from permitgen.project.quantities import parse_number, parse_quantity
from permitgen.reading.problems import quoted

FARTHEST_FT = 10_000
_SIZE_PATTERN = "[0-9].*[xX×].*[0-9]"
FLUSH = "flush"


@dataclass(frozen=True, slots=True)
class PlanSize:
    """A rectangle in plan, ft: its width along the street and its depth away from it, and the text it was read from."""

    width_ft: float
    depth_ft: float
    spelled: str

    def outline_from(self, left: float, front: float) -> list[list[float]]:
        """Return its corners around it from the front left one, which lies at (``left``, ``front``)."""
        right, back = left + self.width_ft, front + self.depth_ft
        return [[left, front], [right, front], [right, back], [left, back]]


def read_plan_size(value: Any) -> PlanSize:
    """Read ``52 ft x 30 ft``: the width along the street, then the depth.

    Raises:
        ValueError: not two lengths with an x between them.
    """
    if isinstance(value, PlanSize):
        return value
    text = text_of(value)
    parts = re.split(r"\s*[xX×]\s*", text)
    if len(parts) != 2 or not all(parts):
        raise ValueError(f"{quoted(text)} is not a size in plan; expected the width along the street and the depth, such as 52 ft x 30 ft")
    width, depth = (parse_quantity(part, "ft", maximum=FARTHEST_FT, positive=True) for part in parts)
    return PlanSize(width, depth, text)


SIZE_SCHEMA: dict[str, Any] = {"type": "string", "pattern": _SIZE_PATTERN}
Size = Annotated[PlanSize, PlainValidator(read_plan_size), WithJsonSchema({**SIZE_SCHEMA, "examples": ["52 ft x 30 ft"]})]


@dataclass(frozen=True, slots=True)
class Shift:
    """How far a wall stands from being in line with that of its neighbor, ft: back and right count up."""

    feet: float
    spelled: str


def _reads_shift(up: str, down: str) -> Callable[[Any], Shift | None]:
    def read(value: Any) -> Shift | None:
        if value is None or isinstance(value, Shift):
            return value
        text = text_of(value)
        words = text.split()
        if text.casefold() == FLUSH:
            return Shift(0.0, text)
        if len(words) < 2 or words[-1].casefold() not in (up, down):
            raise ValueError(f"{quoted(text)} is not a way of standing in line; expected flush, 4 ft {up} or 4 ft {down}")
        length = parse_quantity(" ".join(words[:-1]), "ft", minimum=0, maximum=FARTHEST_FT)
        return Shift(length if words[-1].casefold() == up else -length, text)

    return read


def _shift_schema(up: str, down: str) -> WithJsonSchema:
    letters = "|".join("".join(f"[{c.upper()}{c}]" for c in word) for word in (up, down))
    flush = "".join(f"[{c.upper()}{c}]" for c in FLUSH)
    pattern = rf"^\s*({flush}|.*[0-9].*\s({letters}))\s*$"
    return WithJsonSchema({"anyOf": [{"type": "string", "pattern": pattern}, {"type": "null"}], "examples": [FLUSH, f"4 ft {up}"]})


BackOrForward = Annotated[Shift | None, PlainValidator(_reads_shift("back", "forward")), _shift_schema("back", "forward")]
RightOrLeft = Annotated[Shift | None, PlainValidator(_reads_shift("right", "left")), _shift_schema("right", "left")]


def _read_stop(value: Any) -> list[float] | str:
    if isinstance(value, str):
        return value.strip()
    if not isinstance(value, list):
        raise ValueError("expected a point [x, y] in feet, or the tag of equipment on the plan")  # noqa: TRY004
    point = [part if isinstance(part, float) else parse_number(text_of(part)) for part in value]
    return on_a_site(two_numbers(point))


def two_numbers(point: list[float]) -> list[float]:
    """Return a point.

    Raises:
        ValueError: it is not two numbers.
    """
    if len(point) != 2:
        raise ValueError(f"a point is two numbers, x and y in feet, as [12, 40]; found {len(point)}")
    return point


def on_a_site(point: list[float]) -> list[float]:
    """Return a point.

    Raises:
        ValueError: it lies farther off than any site reaches.
    """
    if max(map(abs, point)) > FARTHEST_FT:
        raise ValueError(f"a point of a plan lies within {FARTHEST_FT:,} ft of its origin; found [{point[0]:g}, {point[1]:g}]")
    return point


_NUMBER_SCHEMA: dict[str, Any] = {"anyOf": [{"type": "number"}, {"type": "string", "pattern": "^[^A-Za-z]*[0-9][^A-Za-z]*$"}]}
Stop = Annotated[
    list[float] | str,
    PlainValidator(_read_stop),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "array", "items": _NUMBER_SCHEMA, "minItems": 2, "maxItems": 2},
                {"type": "string", "pattern": "^\\s*[A-Za-z][A-Za-z0-9_-]{0,15}\\s*$"},
            ]
        }
    ),
]
"""A point of the plan, or the tag of equipment that stands there."""
