"""The grounding electrode conductor: down from where it lands to the electrodes."""

from __future__ import annotations

from permitgen.documents.canvas.shapes import Point
from permitgen.documents.diagram.manner import ELECTRODE_PEN, GAP_MM, Manner
from permitgen.documents.diagram.sketch import Sketch, snapped
from permitgen.documents.diagram.skyline import Skyline
from permitgen.documents.diagram.words import plain_words
from permitgen.documents.symbols.grounding import ground
from permitgen.documents.symbols.symbol import UNIT
from permitgen.views.one_line import Grounding


def draw_earth(sketch: Sketch, grounding: Grounding, start: Point, manner: Manner, *, drop: float = 2 * UNIT) -> None:
    """Draw the conductor from ``start`` down to its electrodes, at least ``drop`` mm below, with their names at the right.

    The electrodes are put below everything that is already drawn in their columns.
    """
    x, y = start
    skyline = Skyline()
    skyline.add(sketch, 0.0)
    electrodes = Sketch()
    symbol = ground()
    electrodes.symbol(symbol, x, 0.0)
    words = plain_words((grounding.conductor, *grounding.electrodes), manner, manner.above_mm)
    words.draw(electrodes, x + symbol.box.right + GAP_MM, -UNIT / 2)
    low = snapped(max(y + drop, skyline.clearance(electrodes) + GAP_MM))
    sketch.wire(((x, y), (x, low)), ELECTRODE_PEN)
    sketch.add(electrodes, 0.0, low)
