"""Lettering of the plan sheets: one condensed face, two weights, nothing under 3/32 in and nothing under ten points.

Heights of capitals: US National CAD Standard (from memory) 3/32 in at least; several departments ask for ten-point type.
"""

from __future__ import annotations

from dataclasses import dataclass

from permitgen.documents.canvas.styles import MM_PER_INCH, TextStyle, capitals, points
from permitgen.documents.fonts.faces import CONDENSED_BOLD, CONDENSED_MEDIUM

SMALLEST_CAPITALS_MM = 3 / 32 * MM_PER_INCH


@dataclass(frozen=True, slots=True)
class Lettering:
    """Styles by use; ``leading_mm`` is the distance between baselines of ``text``."""

    text: TextStyle
    strong: TextStyle
    heading: TextStyle
    title: TextStyle
    sheet_number: TextStyle
    leading_mm: float
    heading_leading_mm: float


LETTERING = Lettering(
    text=points(CONDENSED_MEDIUM, 10),
    strong=points(CONDENSED_BOLD, 10),
    heading=capitals(CONDENSED_BOLD, 3.2),
    title=capitals(CONDENSED_BOLD, 5.0),
    sheet_number=capitals(CONDENSED_BOLD, 10.5),
    leading_mm=4.0,
    heading_leading_mm=5.4,
)
