"""Ground, and the place where neutral meets ground."""

from __future__ import annotations

from functools import lru_cache

from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import HEAVY
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.symbol import NEW, UNIT, Inks, Symbol


@lru_cache(maxsize=256)
def ground(inks: Inks = NEW) -> Symbol:
    """Earth: stem down from the origin and three strokes."""
    stem = 1.2 * UNIT
    strokes: list[Shape] = [Line(0, 0, 0, stem, inks.symbol)]
    strokes += [
        Line(-half * UNIT, stem + index * 0.5 * UNIT, half * UNIT, stem + index * 0.5 * UNIT, inks.symbol)
        for index, half in enumerate((1.2, 0.75, 0.3))
    ]
    return Symbol("ground", "Grounding electrode", tuple(strokes), 0, 0)


BAR_MM = 7.0
BARS_APART_MM = 5.0


@lru_cache(maxsize=256)
def neutral_bond(words: str, *, is_bonded: bool, inks: Inks = NEW) -> Symbol:
    """Neutral bar over ground bar, joined where the bond is; ``words`` say so in text. Origin at the left end of the neutral bar."""
    style = LETTERING.text
    low = style.cap_height_mm / 2
    shapes: list[Shape] = [
        Text(-1.5, low, "N", style, "end"),
        Text(-1.5, BARS_APART_MM + low, "G", style, "end"),
        Line(0, 0, BAR_MM, 0, HEAVY),
        Line(0, BARS_APART_MM, BAR_MM, BARS_APART_MM, HEAVY),
        Text(BAR_MM + 2.0, BARS_APART_MM / 2 + low, words, LETTERING.strong if is_bonded else style),
    ]
    if is_bonded:
        shapes.append(Line(BAR_MM - 1.5, 0, BAR_MM - 1.5, BARS_APART_MM, inks.line))
    return Symbol(
        "neutral bond" if is_bonded else "no neutral bond",
        "Neutral bar N bonded to ground bar G" if is_bonded else "Neutral and ground kept apart",
        tuple(shapes),
        0,
        BAR_MM,
    )
