"""How a diagram is drawn: how much text, how much air, which pens. One value for the whole drawing, so that it has one voice."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from permitgen.documents.canvas.styles import FINE, LONG_DASH, LONG_SHORT_DASH, MEDIUM, SHORT_DASH, THIN, WIDE, Pen
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.symbol import EXISTING, NEW, Inks

Detail = Literal["full", "places", "wide places", "brief", "tags"]
"""From most to least: everything; conductors in short; places only where they take no width; no places; tags only."""
DETAILS: tuple[Detail, ...] = ("full", "places", "wide places", "brief", "tags")

GAP_MM = 2.0
"""Least distance between a text and what stands beside it."""
ABOVE_PART_MM = 4.4
"""Baseline of the text above a part, measured from the line."""
_NARROWEST_COLUMN_MM = 30.0
_WIDEST_COLUMN_MM = 66.0
CONTROL_PEN = Pen(FINE.width_mm, dash_mm=SHORT_DASH)
GROUND_PEN = THIN.dashed(*LONG_DASH)
ELECTRODE_PEN = MEDIUM.dashed(*LONG_DASH)
ENCLOSURE_PEN = THIN.dashed(*LONG_SHORT_DASH)
ARRAY_PEN = MEDIUM.dashed(6.0, 1.2, 0.6, 1.2)


@dataclass(frozen=True, slots=True)
class Manner:
    """``detail`` says how much text stands along the lines.

    ``row_gap_mm`` and ``lead_extra_mm`` are air, added while there is room; ``above_mm`` is the width of texts above units in the
    line, ``room_mm`` what is left to the right edge of the sheet.
    """

    detail: Detail = "full"
    row_gap_mm: float = 1.0
    lead_extra_mm: float = 0.0
    room_mm: float = 400.0
    above_mm: float = 34.0

    def beyond(self, width_mm: float) -> Manner:
        """Return the manner for what lies ``width_mm`` further to the right."""
        return replace(self, room_mm=self.room_mm - width_mm)

    def column_mm(self, taken_mm: float) -> float:
        """Return how wide a text at the end of a line may be, ``taken_mm`` being its symbol."""
        return min(_WIDEST_COLUMN_MM, max(_NARROWEST_COLUMN_MM, self.room_mm - taken_mm))

    @property
    def leading_mm(self) -> float:
        """Distance between baselines."""
        return LETTERING.leading_mm

    def shows_place(self, kind: str) -> bool:
        """Whether a unit of this kind says where it stands."""
        wide = kind not in ("utility", "meter", "junction", "array")
        return self.detail in ("full", "places") or (self.detail == "wide places" and wide)

    @property
    def shows_ratings(self) -> bool:
        """Whether interrupting ratings stand below parts."""
        return self.detail == "full"


def inks(*, is_existing: bool) -> Inks:
    """Return the pens for new or existing work."""
    return EXISTING if is_existing else NEW


def wire_pen(kind: str, *, is_existing: bool) -> Pen:
    """Return the pen of a conductor."""
    if kind == "control":
        return CONTROL_PEN
    if kind == "ground":
        return GROUND_PEN
    return THIN if is_existing else WIDE
