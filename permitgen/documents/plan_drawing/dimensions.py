"""Dimension lines: extension lines, ticks, and the number with white behind it, read from the bottom or from the right."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from permitgen.documents.canvas.bounds import text_box
from permitgen.documents.canvas.shapes import Line, Text
from permitgen.documents.canvas.styles import FINE, MEDIUM
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.plan_drawing.labels import LabelRoom
from permitgen.documents.sheets.lettering import LETTERING

Point = tuple[float, float]
_TICK_MM = 1.1
_OVER_MM = 1.5
_STYLE = LETTERING.text


def dimension(space: LabelRoom, start: Point, end: Point, words: str, *, off_mm: float = 0.0) -> bool:
    """Draw a dimension between two points of the sheet, its line ``off_mm`` to the left of the way from start to end.

    Returns False where its number finds no room; nothing is drawn then.
    """
    length = math.dist(start, end)
    if length < 0.2:
        return False
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    normal = (along[1], -along[0])
    a = (start[0] + normal[0] * off_mm, start[1] + normal[1] * off_mm)
    b = (end[0] + normal[0] * off_mm, end[1] + normal[1] * off_mm)
    number = _number(space, a, b, words)
    lines = [Line(*a, *b, FINE)]
    if abs(off_mm) > 1.0:
        sign = math.copysign(1.0, off_mm)
        lines += [
            Line(
                p[0] + normal[0] * sign * 0.8,
                p[1] + normal[1] * sign * 0.8,
                q[0] + normal[0] * sign * _OVER_MM,
                q[1] + normal[1] * sign * _OVER_MM,
                FINE,
            )
            for p, q in ((start, a), (end, b))
        ]
    slant = (along[0] + normal[0], along[1] + normal[1])
    ticks = [
        Line(
            p[0] - slant[0] * _TICK_MM / 1.4,
            p[1] - slant[1] * _TICK_MM / 1.4,
            p[0] + slant[0] * _TICK_MM / 1.4,
            p[1] + slant[1] * _TICK_MM / 1.4,
            MEDIUM,
        )
        for p in (a, b)
    ]
    space.strokes += [*lines, *ticks]
    space.lines += [((line.x1, line.y1, line.x2, line.y2), 2.0) for line in lines]
    if number is not None:
        space.take_text(number)
        return True
    return space.label(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), (words,))


def dimension_outside(space: LabelRoom, start: Point, end: Point, words: str, inside: Point, *, off_mm: float = 7.0) -> bool:
    """Draw a dimension ``off_mm`` outside: on the side away from a point of the sheet."""
    left = (end[0] - start[0]) * (inside[1] - start[1]) - (end[1] - start[1]) * (inside[0] - start[0])
    return dimension(space, start, end, words, off_mm=math.copysign(off_mm, left))


def _number(space: LabelRoom, a: Point, b: Point, words: str) -> Text | None:
    """Return the number on the line where it is long enough and free, else None."""
    length = math.dist(a, b)
    if text_width(words, _STYLE) + 2.0 > length:
        return None
    for text in _along(a, b, words):
        if space.is_free(text_box(text).grown(0.7)):
            return text
    return None


def _along(a: Point, b: Point, words: str) -> Iterator[Text]:
    """Yield the number at places along the line, the middle first."""
    angle = math.degrees(math.atan2(a[1] - b[1], b[0] - a[0]))
    turn = (angle + 90.0) % 180.0 - 90.0
    if math.isclose(turn, -90.0, abs_tol=1.0):
        turn = 90.0
    down = _STYLE.cap_height_mm / 2
    radians = math.radians(turn)
    for share in (0.5, 0.35, 0.65, 0.2, 0.8):
        x, y = a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
        yield replace(Text(x, y, words, _STYLE, "middle", round(turn, 6)), x=x + down * math.sin(radians), y=y + down * math.cos(radians))
