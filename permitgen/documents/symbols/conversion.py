"""Converters and transformers: inverter, dc-to-dc converter, neutral-forming autotransformer."""

from __future__ import annotations

from functools import lru_cache

from permitgen.documents.canvas.figures import arc, circle, rectangle
from permitgen.documents.canvas.shapes import Line, Shape
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.symbols.sources import sine
from permitgen.documents.symbols.symbol import NEW, UNIT, Inks, Symbol


def _direct_current(x: float, y: float, pen: Pen) -> list[Shape]:
    """A line over three dashes."""
    half = 0.7 * UNIT
    dash = 0.34 * UNIT
    lines: list[Shape] = [Line(x - half, y - 0.25 * UNIT, x + half, y - 0.25 * UNIT, pen)]
    lines += [
        Line(x + offset - dash / 2, y + 0.25 * UNIT, x + offset + dash / 2, y + 0.25 * UNIT, pen)
        for offset in (-half + dash / 2, 0, half - dash / 2)
    ]
    return lines


def _two_halves(first: list[Shape], second: list[Shape], name: str, says: str, inks: Inks) -> Symbol:
    half = 2 * UNIT
    outline = rectangle(-half, -half, 2 * half, 2 * half, pen=inks.symbol)
    return Symbol(name, says, (outline, Line(-half, half, half, -half, inks.symbol), *first, *second), -half, half)


@lru_cache(maxsize=256)
def inverter(inks: Inks = NEW) -> Symbol:
    """Inverter: ac in the upper left half, toward the utility; dc in the lower right half, toward the source."""
    wave: list[Shape] = [sine(-0.85 * UNIT, -0.95 * UNIT, 1.4 * UNIT, 0.5 * UNIT, inks.symbol)]
    return _two_halves(wave, _direct_current(0.85 * UNIT, 0.95 * UNIT, inks.symbol), "inverter", "Inverter, ac to the upper left", inks)


@lru_cache(maxsize=256)
def converter(inks: Inks = NEW) -> Symbol:
    """Dc-to-dc converter."""
    return _two_halves(
        _direct_current(-0.85 * UNIT, -0.95 * UNIT, inks.symbol),
        _direct_current(0.85 * UNIT, 0.95 * UNIT, inks.symbol),
        "converter",
        "Dc-to-dc converter",
        inks,
    )


@lru_cache(maxsize=256)
def autotransformer(inks: Inks = NEW) -> Symbol:
    """Neutral-forming autotransformer across both legs: four half turns, the neutral tapped in the middle below."""
    r = 0.7 * UNIT
    turns = tuple(arc((index - 1.5) * 2 * r, 0, r, start_deg=0, end_deg=180, pen=inks.symbol) for index in range(4))
    tap = (Line(0, 0, 0, 1.2 * UNIT, inks.symbol), circle(0, 1.4 * UNIT, 0.2 * UNIT, pen=inks.symbol))
    end = Line(4 * r, -0.5 * UNIT, 4 * r, 0.5 * UNIT, inks.symbol)
    return Symbol("autotransformer", "Neutral-forming autotransformer, tap to the neutral", (*turns, *tap, end), -4 * r, 4 * r)
