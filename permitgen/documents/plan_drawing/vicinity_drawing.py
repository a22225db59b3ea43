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
    from collections.abc import Sequence

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
    def needs(self) -> float:
        """How long the part between two crossings is at least in which its name stands."""
        return text_width(self.street.name, LETTERING.strong) + 2 * _PAD_MM

    def parts(self, across: Sequence[_Road], low: float, high: float) -> list[tuple[float, float]]:
        """Return the parts between the streets that cross it, from ``low`` to ``high``."""
        edges = sorted(side for road in across for side in (road.at - _ROAD_MM / 2, road.at + _ROAD_MM / 2))
        ends = (low, *edges, high)
        return list(zip(ends[::2], ends[1::2], strict=True))

    def ends(self, across: Sequence[_Road], low: float, high: float) -> tuple[float, float]:
        """Return from where to where it runs, so that one part of it holds its name: the end that is moved least is moved."""
        parts = self.parts(across, low, high)
        if any(last - first >= self.needs for first, last in parts):
            return low, high
        before, after = parts[0][1] - self.needs, parts[-1][0] + self.needs
        return (before, high) if low - before < after - high else (low, after)

    def middle_of_name(self, across: Sequence[_Road], low: float, high: float) -> float:
        """Return where along the street its name has its middle: as near to the lot as it stands clear of crossings."""
        half = self.needs / 2
        fitting = ((first + half, last - half) for first, last in self.parts(across, low, high) if last - first >= self.needs - 1e-6)
        return min((min(max(0.0, first), last) for first, last in fitting), key=abs)


def vicinity_shapes(view: Vicinity) -> tuple[tuple[Shape, ...], float]:
    """Return the shapes with their origin at the top left, and their height in mm."""
    turn_deg = upright_turn(view.north_deg)
    roads = [_road(_turned(street, round(turn_deg / 90.0))) for street in view.streets]
    upright, level = [road for road in roads if road.is_upright], [road for road in roads if not road.is_upright]
    left, right = _extent(level, upright, _HALF_LOT_MM[0])
    top, bottom = _extent(upright, level, _HALF_LOT_MM[1] + _PAD_MM)
    shapes: list[Shape] = [line for road in level for line in _edges(road, left, right)]
    shapes += [line for road in upright for line in _edges(road, top, bottom)]
    shapes += [_crossing(one.at, other.at) for one in upright for other in level]
    shapes += [_middle(road.street.name, road.middle_of_name(upright, left, right), road.at) for road in level]
    shapes += [_upright_name(road, road.middle_of_name(level, top, bottom)) for road in upright]
    shapes += [shape for road in roads if road.crosses is not None and road.street.words for shape in _distance(road, road.crosses)]
    shapes += [rectangle(-_HALF_LOT_MM[0], -_HALF_LOT_MM[1], 2 * _HALF_LOT_MM[0], 2 * _HALF_LOT_MM[1], pen=MEDIUM, fill=WHITE)]
    shapes += [_middle("SITE", 0.0, 0.0), *north_arrow(right + _ARROW_MM + 2.0, 0.0, -view.north_deg - turn_deg)]
    below = bottom - top + LETTERING.leading_mm
    note = Text(0.0, below, "NOT TO SCALE", LETTERING.text)
    return (Group(tuple(shapes), transform=moved(-left, -top)), note), below + 1.5


def _extent(along: Sequence[_Road], across: Sequence[_Road], half_lot: float) -> tuple[float, float]:
    """Return from where to where the sketch goes in the direction of ``along``, from the middle of the lot."""
    reach = _ROAD_MM / 2 + _PAD_MM
    low = min([-half_lot, *(road.at - reach for road in across)])
    high = max([half_lot, *(road.at + reach for road in across)])
    for road in along:
        low, high = road.ends(across, low, high)
    return low, high


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


def _edges(road: _Road, low: float, high: float) -> list[Shape]:
    edges = (road.at - _ROAD_MM / 2, road.at + _ROAD_MM / 2)
    if road.is_upright:
        return [Line(x, low, x, high, THIN) for x in edges]
    return [Line(low, y, high, y, THIN) for y in edges]


def _crossing(x: float, y: float) -> Shape:
    """A crossing is open: the lines of one street do not run through the other."""
    half = _ROAD_MM / 2 - THIN.width_mm / 2
    wide = _ROAD_MM / 2 + THIN.width_mm
    upright = rectangle(x - half, y - wide, 2 * half, 2 * wide, fill=WHITE)
    level = rectangle(x - wide, y - half, 2 * wide, 2 * half, fill=WHITE)
    return Group((upright, level))


def _upright_name(road: _Road, along: float) -> Shape:
    return Group((_middle(road.street.name, road.at, along),), transform=rotated(90.0, road.at, along))


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
