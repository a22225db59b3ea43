"""Blocks of text beside units: a tag and name in the heavier weight, then ratings and place, broken to a width."""

from __future__ import annotations

from dataclasses import dataclass

from permitgen.documents.canvas.styles import TextStyle
from permitgen.documents.canvas.text_flow import break_lines
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.manner import Manner
from permitgen.documents.diagram.sketch import Sketch
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.markers import STEP_RADIUS_MM, step
from permitgen.views.one_line import Unit


@dataclass(frozen=True, slots=True)
class WordBlock:
    """Lines with their styles. ``marks`` puts the disc of a step in front of a line, by its index; ``about`` is the tag of a unit."""

    lines: tuple[tuple[str, TextStyle], ...]
    leading_mm: float
    marks: tuple[tuple[int, str], ...] = ()
    about: str = ""

    @property
    def width(self) -> float:
        """Width of the longest line, mm."""
        marked = dict(self.marks)
        return max(
            (text_width(text, style) + (_MARK_MM if index in marked else 0.0) for index, (text, style) in enumerate(self.lines)),
            default=0.0,
        )

    @property
    def height(self) -> float:
        """Height from the top of the first line to below the last, mm."""
        return sum(self._heights())

    def _heights(self) -> list[float]:
        """Height of each line; one with a disc is taller."""
        marked = dict(self.marks)
        return [max(self.leading_mm, 2 * STEP_RADIUS_MM + 0.4) if index in marked else self.leading_mm for index in range(len(self.lines))]

    def draw(self, sketch: Sketch, x: float, top: float) -> None:
        """Write the lines with the top of the block at ``top``."""
        marked = dict(self.marks)
        y = top
        for index, ((text, style), height) in enumerate(zip(self.lines, self._heights(), strict=True)):
            middle = y + height / 2
            shift = 0.0
            if index in marked:
                sketch.symbol(step(marked[index]), x + STEP_RADIUS_MM, middle)
                shift = _MARK_MM
            sketch.text(x + shift, middle + style.cap_height_mm / 2, text, style, about=self.about)
            y += height


_MACHINE_NEUTRAL = {"bonded": "neutral bonded to frame", "not bonded": "floating neutral", "not stated": "neutral bond not stated"}
_MARK_MM = 2 * STEP_RADIUS_MM + 1.2


def unit_words(unit: Unit, manner: Manner, width_mm: float) -> WordBlock:
    """Return the text of a unit: tag and name, ratings, place, bond, step."""
    strong, plain = LETTERING.strong, LETTERING.text
    lines: list[tuple[str, TextStyle]] = []
    marks: list[tuple[int, str]] = []
    title = f"{unit.tag}  {unit.name}".strip()
    if unit.step and unit.step_on == "unit":
        marks.append((0, unit.step))
    lines += [(line, strong) for line in break_lines(title, strong, width_mm - (_MARK_MM if marks else 0.0))]
    texts = list(unit.lines)
    if unit.place and manner.shows_place(unit.kind):
        texts.append(unit.place)
    if unit.kind in ("generator", "disconnect", "transfer switch") and unit.bond:
        texts.append(f"neutral {unit.bond}" if unit.kind != "generator" else _MACHINE_NEUTRAL[unit.bond])
    for text in texts:
        lines += [(line, plain) for line in break_lines(text, plain, width_mm)]
    if unit.step and unit.step_on == "stop":
        marks.append((len(lines), unit.step))
        lines += [("emergency", plain), ("shutdown", plain)]  # beside the disc of its step: short, so that what stands beside finds room
    return WordBlock(tuple(lines), manner.leading_mm, tuple(marks), unit.tag)


def bond_words(unit: Unit) -> str:
    """Return where the neutral stands to ground in this unit."""
    return {"bonded": "N-G BOND", "not bonded": "NO BOND", "not stated": "NOT STATED", "": ""}[unit.bond]


def plain_words(texts: tuple[str, ...], manner: Manner, width_mm: float) -> WordBlock:
    """Return plain lines broken to a width."""
    style = LETTERING.text
    return WordBlock(tuple((line, style) for text in texts for line in break_lines(text, style, width_mm)), manner.leading_mm)
