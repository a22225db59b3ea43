"""Draws where labels go for the phone page: each wall with its equipment in outline, and the numbers of the label schedule on it.

Drawn to one scale a wall, as wide as a phone shows it; numbers that do not fit on their enclosure continue below it.
"""

from __future__ import annotations

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.colors import BLACK, DARK_GRAY, PALE_GRAY, WHITE
from permitgen.documents.canvas.figures import circle, rectangle
from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import MEDIUM, THIN, WIDE, capitals
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.fonts.faces import CONDENSED_BOLD, CONDENSED_MEDIUM
from permitgen.documents.inline_svg import InlineSvg
from permitgen.views.label_places import LabelWall
from permitgen.views.plans.elevations import ElevationItem

_WIDTH_MM = 100.0
_MOST_MM_PER_FT = 12.0
_EDGE_MM = 3.0
_DISC_MM, _PITCH_MM = 2.5, 5.5
_NUMBER = capitals(CONDENSED_BOLD, 2.3, WHITE)
_TAG = capitals(CONDENSED_BOLD, 2.8, BLACK)
_GROUND = capitals(CONDENSED_MEDIUM, 2.2, DARK_GRAY)


def label_wall_svg(wall: LabelWall) -> str:
    """Return one wall as an ``svg`` element that tells its content in words, too."""
    shapes, width, height = label_wall_shapes(wall)
    numbered = [(item.tag, wall.numbers[item.tag]) for item in wall.elevation.items if wall.numbers.get(item.tag)]
    words = "; ".join(f"{tag}: {', '.join(map(str, numbers))}" for tag, numbers in numbered)
    return InlineSvg().svg(shapes, width, height, says=f"{wall.elevation.title}, labels at {words}")


def label_wall_shapes(wall: LabelWall) -> tuple[tuple[Shape, ...], float, float]:
    """Return the shapes of a wall with width and height in mm, the origin at its top left corner."""
    elevation = wall.elevation
    items = elevation.items
    left, right = min(item.left for item in items) - 0.8, max(item.left + item.width for item in items) + 0.8
    scale = min(_MOST_MM_PER_FT, _WIDTH_MM / (right - left))
    beside = max(0.0, _WIDTH_MM / scale - (right - left)) / 2  # all walls as wide as the phone, so that numbers are of one size
    left, right = left - beside, right + beside
    columns = [_column(item, wall.numbers.get(item.tag, ()), left, scale) for item in items]
    top = max(item.bottom + item.height for item in items) * scale + _TAG.cap_height_mm + 2 * _EDGE_MM
    shapes: list[Shape] = [Line(0.0, top, (right - left) * scale, top, WIDE)]
    shapes.append(Text(0.0, top + _GROUND.cap_height_mm + 1.2, elevation.ground, _GROUND))
    lowest = top + _GROUND.cap_height_mm + 2.0
    taken: list[Box] = []
    for item, column in zip(items, columns, strict=True):
        shapes += _enclosure(item, column, top, scale, taken)
    for item, column in zip(items, columns, strict=True):
        discs, bottom = _discs(item, column, top, scale, taken)
        shapes += discs
        lowest = max(lowest, bottom)
    return tuple(shapes), (right - left) * scale, lowest + _EDGE_MM


_Column = tuple[float, float, tuple[int, ...]]
"""Left edge and width of an enclosure in mm, and the numbers that go on it."""


def _column(item: ElevationItem, numbers: tuple[int, ...], left: float, scale: float) -> _Column:
    return (item.left - left) * scale, item.width * scale, numbers


def _enclosure(item: ElevationItem, column: _Column, ground: float, scale: float, taken: list[Box]) -> list[Shape]:
    x, width, numbers = column
    y, height = ground - (item.bottom + item.height) * scale, item.height * scale
    half = text_width(item.tag, _TAG) / 2
    baseline = y - 1.0
    while any(_meets(Box(x + width / 2 - half, baseline - _TAG.cap_height_mm, x + width / 2 + half, baseline), box) for box in taken):
        baseline -= _TAG.cap_height_mm + 0.8
    taken.append(Box(x + width / 2 - half - 0.6, baseline - _TAG.cap_height_mm - 0.6, x + width / 2 + half + 0.6, baseline + 0.4))
    return [
        rectangle(x, y, width, height, pen=MEDIUM if numbers else THIN, fill=WHITE if numbers else PALE_GRAY),
        Text(x + width / 2, baseline, item.tag, _TAG, "middle"),
    ]


def _discs(item: ElevationItem, column: _Column, ground: float, scale: float, taken: list[Box]) -> tuple[list[Shape], float]:
    """Numbers in rows as wide as the enclosure, from its upper edge down, past its lower edge where they need more room."""
    x, width, numbers = column
    across = max(1, int(width // _PITCH_MM))
    shapes: list[Shape] = []
    y = ground - (item.bottom + item.height) * scale + _DISC_MM + 0.8
    bottom = 0.0
    for start in range(0, len(numbers), across):
        row = numbers[start : start + across]
        first = x + width / 2 - (len(row) - 1) * _PITCH_MM / 2
        while any(_meets(_around(first, len(row), y), box) for box in taken):
            y += 0.5
        taken.append(_around(first, len(row), y))
        for index, number in enumerate(row):
            at = first + index * _PITCH_MM
            shapes.append(circle(at, y, _DISC_MM, fill=BLACK, pen=None))
            shapes.append(Text(at, y + _NUMBER.cap_height_mm / 2, str(number), _NUMBER, "middle"))
        bottom = y + _DISC_MM
        y += _PITCH_MM
    return shapes, bottom


def _around(first: float, count: int, y: float) -> Box:
    return Box(first - _DISC_MM, y - _DISC_MM, first + (count - 1) * _PITCH_MM + _DISC_MM, y + _DISC_MM)


def _meets(one: Box, other: Box) -> bool:
    return one.shared(other) is not None
