"""Parts on a line: breakers, fuses, contacts, with their texts above and below and the step they have on the placard."""

from __future__ import annotations

from dataclasses import dataclass

from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.manner import ABOVE_PART_MM, GAP_MM, Manner
from permitgen.documents.diagram.sketch import Sketch, snapped
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols import conversion, metering, switching
from permitgen.documents.symbols.markers import STEP_RADIUS_MM, step
from permitgen.documents.symbols.symbol import NEW, UNIT, Inks, Symbol
from permitgen.views.one_line import Part

_SYMBOLS = {
    "breaker": switching.breaker,
    "fuse": switching.fuse,
    "switch": switching.switch,
    "contact": switching.contact,
    "autotransformer": conversion.autotransformer,
    "meter": metering.meter,
}
_TEXT_GAP_MM = 1.4


def part_symbol(part: Part, inks: Inks = NEW) -> Symbol:
    """Return the symbol of a part."""
    return _SYMBOLS[part.kind](inks)


@dataclass(frozen=True, slots=True)
class Extent:
    """How far something reaches above and below its line, mm, both positive."""

    above: float = 0.0
    below: float = 0.0

    def joined(self, other: Extent) -> Extent:
        """Return what holds both."""
        return Extent(max(self.above, other.above), max(self.below, other.below))


def part_width(part: Part, manner: Manner) -> float:
    """Return the room a part takes on its line, mm, on the grid."""
    symbol = part_symbol(part)
    wide = (part.above,) if part.kind == "autotransformer" else (part.above, *lines_below(part, manner))
    texts = max(text_width(text, LETTERING.text) for text in wide) if any(wide) else 0.0
    return snapped(max(symbol.right - symbol.left, texts) + GAP_MM)


def ending_width(parts: tuple[Part, ...], manner: Manner) -> float:
    """Return the room of parts that end a line: the text of the last ends with its symbol and may reach back below those before it."""
    texts = max((text_width(text, LETTERING.text) for text in lines_below(parts[-1], manner)), default=0.0)
    return max(chain_width(parts, manner), texts + GAP_MM)


def lines_below(part: Part, manner: Manner) -> tuple[str, ...]:
    """Return the lines that stand below a part."""
    return (*part.below, *((part.rating,) if part.rating and manner.shows_ratings else ()))


def part_extent(part: Part, manner: Manner) -> Extent:
    """Return how far a part with its texts reaches above and below the line."""
    symbol = part_symbol(part)
    above = ABOVE_PART_MM + LETTERING.text.cap_height_mm + _TEXT_GAP_MM if part.above else -symbol.box.top + 0.5
    below = max(symbol.box.bottom, 0.0) + 0.5
    if part.step:
        below += 2 * STEP_RADIUS_MM + 0.6
    below += len(lines_below(part, manner)) * manner.leading_mm
    return Extent(above, below)


def draw_part(sketch: Sketch, part: Part, x: float, y: float, manner: Manner, inks: Inks = NEW) -> tuple[float, float]:
    """Draw a part centered at x on the line at y; return the x of its two terminals."""
    symbol = part_symbol(part, inks)
    style = LETTERING.text
    sketch.symbol(symbol, x, y)
    sketch.text(x, y - ABOVE_PART_MM, part.above, style, "middle")
    edge = y + max(symbol.box.bottom, 0.0) + 0.8
    if part.step:
        sketch.symbol(step(part.step), x, edge + STEP_RADIUS_MM)
        edge += 2 * STEP_RADIUS_MM + 0.6
    for index, line in enumerate(lines_below(part, manner)):
        baseline = edge + style.cap_height_mm + 0.5 + index * manner.leading_mm
        if part.kind == "autotransformer":
            sketch.text(x + symbol.right, baseline, line, style, "end")
        else:
            sketch.text(x, baseline, line, style, "middle")
    return x + symbol.left, x + symbol.right


def chain_width(parts: tuple[Part, ...], manner: Manner) -> float:
    """Return the room of several parts one after the other."""
    return sum(part_width(part, manner) for part in parts)


def chain_extent(parts: tuple[Part, ...], manner: Manner) -> Extent:
    """Return how far several parts reach."""
    found = Extent(UNIT / 2, UNIT / 2)
    for part in parts:
        found = found.joined(part_extent(part, manner))
    return found
