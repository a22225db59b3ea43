"""The safety alert symbol: an equilateral triangle with an exclamation mark (ANSI Z535.4; our own drawing)."""

from __future__ import annotations

import math

from permitgen.documents.canvas.colors import Color
from permitgen.documents.canvas.figures import circle, polygon
from permitgen.documents.canvas.shapes import Path, Shape


def alert_symbol_width(height_mm: float) -> float:
    """Return the width of a symbol ``height_mm`` tall."""
    return height_mm * 2 / math.sqrt(3)


def alert_symbol(x: float, y: float, height_mm: float, triangle: Color, mark: Color | None) -> tuple[Shape, ...]:
    """Return the symbol with the top left corner of its box at (x, y). ``mark`` None leaves the mark open."""
    width = alert_symbol_width(height_mm)
    middle, top, bottom = x + width / 2, y + 0.34 * height_mm, y + 0.70 * height_mm
    wide, narrow = 0.062 * height_mm, 0.036 * height_mm
    outline = polygon(((middle, y), (x + width, y + height_mm), (x, y + height_mm))).segments
    stroke = polygon(((middle - wide, top), (middle + wide, top), (middle + narrow, bottom), (middle - narrow, bottom))).segments
    dot = circle(middle, y + 0.815 * height_mm, 0.062 * height_mm).segments
    if mark is None:
        return (Path((*outline, *stroke, *dot), fill=triangle, even_odd=True),)
    return (Path(outline, fill=triangle), Path((*stroke, *dot), fill=mark))
