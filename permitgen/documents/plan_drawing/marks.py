"""North arrow, graphic scale, scale in words."""

from __future__ import annotations

import itertools
import math

from permitgen.documents.canvas.colors import BLACK, WHITE
from permitgen.documents.canvas.figures import circle, polygon, rectangle
from permitgen.documents.canvas.shapes import Group, Shape, Text, rotated
from permitgen.documents.canvas.styles import FINE, MEDIUM, TextStyle
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.plan_drawing.scales import Lay
from permitgen.documents.sheets.lettering import LETTERING

_RADIUS_MM = 7.0
KEY_HEIGHT_MM = 24.0


def north_arrow(
    x: float, y: float, clockwise_deg: float, *, radius: float = _RADIUS_MM, letter: TextStyle = LETTERING.strong
) -> tuple[Shape, ...]:
    """Return the arrow about (x, y); ``clockwise_deg`` is how far north lies to the right of up."""
    tip, tail, notch, half = y - radius, y + radius * 0.75, y + radius * 0.35, radius * 0.46
    needle = (
        polygon(((x, tip), (x - half, tail), (x, notch)), pen=FINE, fill=WHITE),
        polygon(((x, tip), (x + half, tail), (x, notch)), pen=FINE, fill=BLACK),
    )
    turn = math.radians(clockwise_deg)
    reach = radius + letter.cap_height_mm * 1.2
    name = Text(x + reach * math.sin(turn), y - reach * math.cos(turn) + letter.cap_height_mm / 2, "N", letter, "middle")
    return (circle(x, y, radius, pen=MEDIUM, fill=WHITE), Group(needle, transform=rotated(-clockwise_deg, x, y)), name)


def scale_bar(x: float, y: float, lay: Lay) -> tuple[Shape, ...]:
    """Return the graphic scale with its zero at (x, y): alternately black and white, feet above."""
    style, marks = LETTERING.text, lay.scale.bar_ft
    shapes: list[Shape] = []
    for index, (start, end) in enumerate(itertools.pairwise(marks)):
        shapes.append(rectangle(x + lay.mm(start), y, lay.mm(end - start), 1.6, pen=FINE, fill=BLACK if index % 2 == 0 else WHITE))
    last_right = -1e9
    for feet in marks:
        words = f"{feet} ft" if feet == marks[-1] else str(feet)
        half = text_width(words, style) / 2
        at = x + lay.mm(feet)
        if at - half > last_right + 1.0:
            shapes.append(Text(at, y - 1.2, words, style, "middle"))
            last_right = at + half
    return tuple(shapes)


def drawing_key(
    x: float, y: float, title: str, lay: Lay, *, north_deg: float | None = None, remark: str = ""
) -> tuple[tuple[Shape, ...], float]:
    """Return title, scale in words, graphic scale and north arrow with their top left corner at (x, y), and the width they take.

    ``north_deg`` is the compass direction of the plan's up; None for an elevation, which has no north. ``remark`` stands below the
    graphic scale.
    """
    left = x
    shapes: list[Shape] = []
    if north_deg is not None:
        shapes += north_arrow(x + _RADIUS_MM + 4.0, y + 13.0, lay.north_clockwise_deg(north_deg))
        left = x + 2 * _RADIUS_MM + 12.0
    shapes.append(Text(left, y + LETTERING.heading.cap_height_mm + 1.0, title.upper(), LETTERING.heading))
    shapes.append(Text(left, y + 9.4, f"SCALE: {lay.scale.name}", LETTERING.text))
    shapes += scale_bar(left + 1.0, y + 16.5, lay)
    if remark:
        shapes.append(Text(left, y + KEY_HEIGHT_MM - 2.2, remark, LETTERING.text))
    words = max(text_width(remark, LETTERING.text), text_width(title.upper(), LETTERING.heading), lay.mm(lay.scale.bar_ft[-1]) + 8.0)
    return tuple(shapes), left - x + words
