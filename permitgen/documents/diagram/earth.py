"""The grounding electrode conductor: down from where it lands to the electrodes."""

from __future__ import annotations

from permitgen.documents.canvas.shapes import Point
from permitgen.documents.canvas.styles import THIN
from permitgen.documents.diagram.manner import ABOVE_COLUMN_MM, GAP_MM, Manner
from permitgen.documents.diagram.sketch import Sketch
from permitgen.documents.diagram.words import plain_words
from permitgen.documents.symbols.grounding import ground
from permitgen.documents.symbols.symbol import UNIT
from permitgen.views.one_line import Grounding


def draw_earth(sketch: Sketch, grounding: Grounding, start: Point, manner: Manner, *, drop: float = 2 * UNIT) -> None:
    """Draw the conductor from ``start`` down to its electrodes, with their names at the right."""
    x, y = start
    symbol = ground()
    words = plain_words((grounding.conductor, *grounding.electrodes), manner, ABOVE_COLUMN_MM)
    low = y + drop
    sketch.wire(((x, y), (x, low)), THIN)
    sketch.symbol(symbol, x, low)
    words.draw(sketch, x + symbol.box.right + GAP_MM, low - UNIT / 2)
