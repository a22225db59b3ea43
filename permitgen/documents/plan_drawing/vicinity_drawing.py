"""Draws the vicinity sketch: the lot in the middle, streets as two lines with their names between them, north. Not to scale."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.documents.canvas.colors import WHITE
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.shapes import Group, Line, Shape, Text, moved, rotated
from permitgen.documents.canvas.styles import MEDIUM, THIN
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.plan_drawing.marks import north_arrow
from permitgen.documents.plan_drawing.scales import upright_turn
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.views.plans.vicinity import SIDES

if TYPE_CHECKING:
    from permitgen.views.plans.vicinity import Vicinity, VicinityStreet

_ROAD_MM = 5.0
_HALF_LOT_MM = (11.0, 8.0)
"""Half of the lot across and down."""
_BESIDE_MM = 1.5
_LEAST_CROSSING_MM = 24.0
_PAD_MM = 3.0
_ARROW_MM = 7.0


@dataclass(frozen=True, slots=True)
class _Road:
    """A street as it lies: whether it runs up and down, the middle between its lines, which way it is from the lot; ``crosses`` alike."""

    street: VicinityStreet
    is_upright: bool
    at: float
    crosses: float | None

    @property
    def reach(self) -> float:
        """How far the sketch goes beyond the middle of the lot for the width of the street."""
        return abs(self.at) + _ROAD_MM / 2 + _PAD_MM

    @property
    def needs(self) -> float:
        """How long half of the street is at least, so that its name stands clear of the crossing."""
        name = text_width(self.street.name, LETTERING.strong) + 2 * _PAD_MM
        return name / 2 if self.crosses is None else max(name / 2, name - abs(self.crosses) + _ROAD_MM / 2)

    def middle_of_name(self, half: float) -> float:
        """Return where along the street its name has its middle: in the longer part of a street that crosses another."""
        if self.crosses is None:
            return 0.0
        away = (half - abs(self.crosses) + _ROAD_MM / 2) / 2
        return -away if self.crosses > 0 else away


def vicinity_shapes(view: Vicinity) -> tuple[tuple[Shape, ...], float]:
    """Return the shapes with their origin at the top left, and their height in mm."""
    turn_deg = upright_turn(view.north_deg)
    roads = [_road(_turned(street, round(turn_deg / 90.0))) for street in view.streets]
    across = max(_HALF_LOT_MM[0], *(road.reach if road.is_upright else road.needs for road in roads))
    down = max(_HALF_LOT_MM[1] + _PAD_MM, *(road.needs if road.is_upright else road.reach for road in roads))
    shapes: list[Shape] = [line for road in roads for line in _edges(road, down if road.is_upright else across)]
    shapes += [_crossing(road, road.crosses) for road in roads if road.crosses is not None]
    shapes += [_name(road, down if road.is_upright else across) for road in roads]
    shapes += [shape for road in roads if road.crosses is not None and road.street.words for shape in _distance(road, road.crosses)]
    shapes += [rectangle(-_HALF_LOT_MM[0], -_HALF_LOT_MM[1], 2 * _HALF_LOT_MM[0], 2 * _HALF_LOT_MM[1], pen=MEDIUM, fill=WHITE)]
    shapes += [_middle("SITE", 0.0, 0.0), *north_arrow(across + _ARROW_MM + 2.0, 0.0, -view.north_deg - turn_deg)]
    note = Text(0.0, 2 * down + LETTERING.leading_mm, "NOT TO SCALE", LETTERING.text)
    return (Group(tuple(shapes), transform=moved(across, down)), note), 2 * down + LETTERING.leading_mm + 1.5


def _turned(street: VicinityStreet, quarters: int) -> VicinityStreet:
    crosses = (street.crosses + quarters) % SIDES if street.crosses is not None else None
    return replace(street, side=(street.side + quarters) % SIDES, crosses=crosses)


def _road(street: VicinityStreet) -> _Road:
    is_upright = street.side % 2 == 1
    away = _beside(is_upright=is_upright)
    if street.crosses is None:
        return _Road(street, is_upright, _signed(street.side, away), None)
    words = text_width(street.words, LETTERING.text) if is_upright else LETTERING.leading_mm
    far = max(_LEAST_CROSSING_MM, away + words + _ROAD_MM / 2 + _PAD_MM)
    return _Road(street, is_upright, _signed(street.side, far), _signed(street.crosses, _beside(is_upright=not is_upright)))


def _beside(*, is_upright: bool) -> float:
    """How far from the middle of the lot a street along it runs."""
    return _HALF_LOT_MM[0 if is_upright else 1] + _ROAD_MM / 2 + _BESIDE_MM


def _signed(side: int, away: float) -> float:
    return away if side in (1, 2) else -away


def _edges(road: _Road, half: float) -> list[Shape]:
    edges = (road.at - _ROAD_MM / 2, road.at + _ROAD_MM / 2)
    if road.is_upright:
        return [Line(x, -half, x, half, THIN) for x in edges]
    return [Line(-half, y, half, y, THIN) for y in edges]


def _crossing(road: _Road, other: float) -> Shape:
    """A crossing is open: the lines of one street do not run through the other."""
    x, y = (road.at, other) if road.is_upright else (other, road.at)
    half = _ROAD_MM / 2 - THIN.width_mm / 2
    wide = _ROAD_MM / 2 + THIN.width_mm
    upright = rectangle(x - half, y - wide, 2 * half, 2 * wide, fill=WHITE)
    level = rectangle(x - wide, y - half, 2 * wide, 2 * half, fill=WHITE)
    return Group((upright, level))


def _name(road: _Road, half: float) -> Shape:
    along = road.middle_of_name(half)
    if road.is_upright:
        return Group((_middle(road.street.name, road.at, along),), transform=rotated(90.0, road.at, along))
    return _middle(road.street.name, along, road.at)


def _distance(road: _Road, crosses: float) -> list[Shape]:
    """A line from the lot to the crossing, with its length in words on the side away from the street that is crossed."""
    style, sign = LETTERING.text, 1.0 if road.at > 0 else -1.0
    edge, near = _HALF_LOT_MM[0 if road.is_upright else 1], abs(road.at) - _ROAD_MM / 2
    middle = sign * (edge + near) / 2
    if road.is_upright:
        y = -1.5 if crosses > 0 else 1.5 + style.cap_height_mm
        return [Line(sign * edge, 0.0, sign * near, 0.0, THIN), Text(middle, y, road.street.words, style, "middle")]
    text = Text(-1.5 if crosses > 0 else 1.5, middle + style.cap_height_mm / 2, road.street.words, style, "end" if crosses > 0 else "start")
    return [Line(0.0, sign * edge, 0.0, sign * near, THIN), text]


def _middle(words: str, x: float, y: float) -> Text:
    style = LETTERING.strong
    return Text(x, y + style.cap_height_mm / 2, words, style, "middle")
