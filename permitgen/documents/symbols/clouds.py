"""Clouds: arcs around what a revision changed, with its delta beside them; thick and red around what is violated, with its numbers.

Arcs of 3/16 in radius (reference: common practice, 1/8 to 1/4 in). A cloud lies under the letters, so that no text is crossed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.colors import SAFETY_RED
from permitgen.documents.canvas.shapes import Curve, Move, Path, Segment, Shape
from permitgen.documents.canvas.styles import EXTRA_WIDE, MEDIUM, MM_PER_INCH, Pen
from permitgen.documents.symbols.markers import DELTA_SIDE_MM, FAULT_HEIGHT_MM, delta, fault, fault_width

Point = tuple[float, float]
FAULT_PEN = EXTRA_WIDE.colored(SAFETY_RED)
"""Of the cloud around what is violated: twice as thick as that of a revision, so that it reads apart in black and white."""
_CHORD_MM = 5.0
_RADIUS_MM = 3 / 16 * MM_PER_INCH
BULGE_MM = _RADIUS_MM - math.sqrt(_RADIUS_MM**2 - (_CHORD_MM / 2) ** 2)
"""The height of an arc above its chord, 0.7 mm: in either pen it lies between the capitals of one row of a table and those of the next."""
CLEAR_MM = 0.95
"""Kept free around what a cloud is drawn around: its arcs, half of the thinner pen, and air."""


def cloud(box: Box, pen: Pen = MEDIUM, *, has_top: bool = True, has_bottom: bool = True) -> tuple[Shape, ...]:
    """Return a cloud whose arcs begin and end on the edges of a box and bulge outward; open at the top or bottom where asked."""
    corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
    sides = [(corners[0], corners[1])] if has_top else []
    sides.append((corners[1], corners[2]))
    if has_bottom:
        sides.append((corners[2], corners[3]))
    sides.append((corners[3], corners[0]))
    return tuple(Path(tuple(_arcs(start, end)), pen=pen) for start, end in sides)


def _arcs(start: Point, end: Point) -> Iterator[Segment]:
    """Yield arcs from start to end that bulge to the left of the way, seen on a sheet with y down: outside a box gone around clockwise."""
    length = math.dist(start, end)
    count = max(2, round(length / _CHORD_MM))
    dx, dy = (end[0] - start[0]) / count, (end[1] - start[1]) / count
    chord = math.hypot(dx, dy) or 1.0
    reach = 4 / 3 * min(BULGE_MM, chord * 0.3)
    out_x, out_y = dy / chord * reach, -dx / chord * reach
    yield Move(*start)
    for index in range(count):
        x, y = start[0] + index * dx, start[1] + index * dy
        yield Curve(x + dx * 0.15 + out_x, y + dy * 0.15 + out_y, x + dx * 0.85 + out_x, y + dy * 0.85 + out_y, x + dx, y + dy)


def delta_beside(mark: str, room: Box, box: Box, taken: Sequence[Box]) -> tuple[tuple[Shape, ...], Box] | None:
    """Return the delta of a revision near a cloud where nothing else stands, with its box; None where there is no room."""
    half, rise = DELTA_SIDE_MM / 2, DELTA_SIDE_MM * 0.866
    for x, y in _places(box, half):
        around = Box(x - half, y - rise * 2 / 3, x + half, y + rise / 3).grown(0.4)
        if room.contains(around) and all(around.shared(other) is None for other in taken):
            return delta(mark).at(x, y), around
    return None


def fault_beside(numbers: tuple[str, ...], room: Box, box: Box, taken: Sequence[Box]) -> tuple[tuple[Shape, ...], Box] | None:
    """Return the numbers of violations near a cloud where nothing else stands, with their box; None where there is no room."""
    half, rise = fault_width(numbers) / 2, FAULT_HEIGHT_MM / 2
    for x, y in _places(box, half):
        around = Box(x - half, y - rise, x + half, y + rise).grown(0.4)
        if room.contains(around) and all(around.shared(other) is None for other in taken):
            return fault(numbers).at(x, y), around
    return None


def _places(box: Box, half: float) -> Iterable[Point]:
    """Yield places around a box, the right side first, then farther out."""
    for away in (half + CLEAR_MM + 0.6, half + 3.5, half + 7.0, half + 12.0, half + 20.0):
        middle_x, middle_y = (box.left + box.right) / 2, (box.top + box.bottom) / 2 + 1.0
        yield box.right + away, middle_y
        yield box.right + away, box.top
        yield box.right + away, box.bottom
        yield box.left - away, middle_y
        yield middle_x, box.top - away
        yield box.right, box.top - away
        yield box.left, box.top - away
        yield middle_x, box.bottom + away
        yield box.right, box.bottom + away
        yield box.left, box.bottom + away
