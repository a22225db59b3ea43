"""Loads and auxiliary equipment."""

from __future__ import annotations

from functools import lru_cache

from permitgen.documents.canvas.colors import BLACK
from permitgen.documents.canvas.figures import arrowhead, rectangle
from permitgen.documents.canvas.shapes import Line, Text
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.switching import switch
from permitgen.documents.symbols.symbol import NEW, UNIT, Inks, Symbol


@lru_cache(maxsize=256)
def load_arrow(inks: Inks = NEW) -> Symbol:
    """Loads, or a line that leads on elsewhere: an arrow."""
    length = 2.5 * UNIT
    shapes = (Line(-length, 0, -1.5, 0, inks.line), arrowhead((0, 0), (-length, 0), length=3.0, width=2.4, fill=BLACK))
    return Symbol("load arrow", "Loads, or a line that leads on", shapes, -length, 0)


@lru_cache(maxsize=256)
def lettered_box(name: str, says: str, letters: str, pen: Pen) -> Symbol:
    """Return a rectangle with letters in it."""
    style = LETTERING.text
    half = max(2 * UNIT, text_width(letters, style) / 2 + 1.4)
    box = rectangle(-half, -1.75 * UNIT, 2 * half, 3.5 * UNIT, pen=pen)
    return Symbol(name, says, (box, Text(0, style.cap_height_mm / 2, letters, style, "middle")), -half, half)


@lru_cache(maxsize=256)
def vehicle_supply(inks: Inks = NEW) -> Symbol:
    """Electric vehicle supply equipment."""
    return lettered_box("vehicle supply", "Electric vehicle supply equipment", "EVSE", inks.symbol)


@lru_cache(maxsize=256)
def appliance(inks: Inks = NEW) -> Symbol:
    """An appliance."""
    return lettered_box("appliance", "Appliance", "LOAD", inks.symbol)


@lru_cache(maxsize=256)
def energy_monitor(inks: Inks = NEW) -> Symbol:
    """Energy monitor."""
    return lettered_box("energy_monitor", "Energy monitor", "COM", inks.symbol)


@lru_cache(maxsize=256)
def equipment(inks: Inks = NEW) -> Symbol:
    """Equipment of another kind."""
    return lettered_box("equipment", "Equipment", "EQ", inks.symbol)


@lru_cache(maxsize=256)
def initiator(inks: Inks = NEW) -> Symbol:
    """Rapid shutdown initiator: a switch in a box."""
    half_width, rise = 2.5 * UNIT, 2 * UNIT
    box = rectangle(-half_width, -rise, 2 * half_width, 2 * rise, pen=inks.symbol)
    blade = switch(inks)
    ends = (Line(-half_width, 0, blade.left, 0, inks.symbol), Line(blade.right, 0, half_width, 0, inks.symbol))
    return Symbol("initiator", "Rapid shutdown initiator", (box, *blade.shapes, *ends), -half_width, half_width)
