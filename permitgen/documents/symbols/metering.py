"""Meters."""

from __future__ import annotations

import math
from functools import lru_cache

from permitgen.documents.canvas.figures import circle
from permitgen.documents.canvas.shapes import Line, Text
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.symbol import NEW, UNIT, Inks, Symbol


@lru_cache(maxsize=256)
def meter(inks: Inks = NEW) -> Symbol:
    """Revenue meter."""
    r = 2 * UNIT
    letter = Text(0, LETTERING.strong.cap_height_mm / 2, "M", LETTERING.strong, "middle")
    return Symbol("meter", "Revenue meter", (circle(0, 0, r, pen=inks.symbol), letter), -r, r)


@lru_cache(maxsize=256)
def meter_of_legs(legs_mm: tuple[float, ...], inks: Inks = NEW) -> Symbol:
    """Revenue meter in several conductors: one circle, joined to the conductors at these heights from its center, mm."""
    one = meter(inks)
    r = one.right
    stubs = [(y, math.sqrt(max(0.0, r * r - y * y))) for y in legs_mm]
    lines = tuple(Line(side * x, y, side * r, y, inks.line) for y, x in stubs for side in (-1, 1))
    return Symbol(one.name, one.says, (*one.shapes, *lines), one.left, one.right)
