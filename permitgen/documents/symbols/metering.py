"""Meters."""

from __future__ import annotations

from functools import lru_cache

from permitgen.documents.canvas.figures import circle
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.symbol import NEW, UNIT, Inks, Symbol


@lru_cache(maxsize=256)
def meter(inks: Inks = NEW) -> Symbol:
    """Revenue meter."""
    r = 2 * UNIT
    letter = Text(0, LETTERING.strong.cap_height_mm / 2, "M", LETTERING.strong, "middle")
    return Symbol("meter", "Revenue meter", (circle(0, 0, r, pen=inks.symbol), letter), -r, r)
