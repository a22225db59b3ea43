"""Text above units that lie in the line: clear of what stands on their lines, and ended before the next unit begins."""

from __future__ import annotations

from permitgen.documents.diagram.leads import lead_extent
from permitgen.documents.diagram.manner import GAP_MM, Manner
from permitgen.documents.diagram.sketch import Sketch
from permitgen.documents.diagram.words import WordBlock, unit_words
from permitgen.views.one_line import Unit

_TEXT_ABOVE_MM = 2.6
_UTILITY_MORE_MM = 4.0
_CLEAR_MM = 0.8


def _words(unit: Unit, manner: Manner) -> WordBlock:
    return unit_words(unit, manner, manner.above_mm + (_UTILITY_MORE_MM if unit.kind == "utility" else 0.0))


def overhang(unit: Unit, manner: Manner, own_mm: float) -> float:
    """Return how long a lead must be for the unit's text to end before what comes next."""
    return _words(unit, manner).width + 2 * GAP_MM - own_mm


def write_above(sketch: Sketch, unit: Unit, manner: Manner, top: float) -> None:
    """Write the unit's text above it, clear of what stands above its lines."""
    words = _words(unit, manner)
    leads = [way.lead for branch in unit.branches for way in branch.ways if way.lead is not None]
    clear = -max((lead_extent(lead, manner).above for lead in leads), default=0.0)
    words.draw(sketch, 0.0, min(top - _TEXT_ABOVE_MM, clear - _CLEAR_MM) - words.height)
