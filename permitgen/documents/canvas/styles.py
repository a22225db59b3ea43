"""Pens and text styles of the drawings and text documents.

Line widths: plotted widths of the US National CAD Standard, the same steps as ISO 128 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from permitgen.documents.canvas.colors import BLACK, INK, LIGHT_GRAY, Color
from permitgen.documents.fonts.faces import Face

MM_PER_INCH = 25.4
MM_PER_POINT = MM_PER_INCH / 72

Cap = Literal["butt", "round", "square"]
Join = Literal["miter", "round", "bevel"]


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn: width and dash lengths in mm; ``dash_mm`` alternates mark and gap, empty for solid."""

    width_mm: float
    color: Color = BLACK
    dash_mm: tuple[float, ...] = ()
    cap: Cap = "butt"
    join: Join = "miter"

    def dashed(self, *dash_mm: float) -> Pen:
        """Return this pen with a dash pattern of mark and gap lengths in mm."""
        return replace(self, dash_mm=dash_mm)

    def colored(self, color: Color) -> Pen:
        """Return this pen in another color."""
        return replace(self, color=color)


FINE = Pen(0.18)
THIN = Pen(0.25)
MEDIUM = Pen(0.35)
WIDE = Pen(0.50)
EXTRA_WIDE = Pen(0.70)
HEAVY = Pen(1.00)
VERY_HEAVY = Pen(1.40)
HEAVIEST = Pen(2.00)

HAIRLINE = Pen(0.18, LIGHT_GRAY)
RULE = Pen(0.35, INK)

SHORT_DASH = (1.6, 1.0)
LONG_DASH = (4.0, 1.2)
LONG_SHORT_DASH = (6.0, 1.2, 1.6, 1.2)
LONG_TWO_SHORT_DASH = (10.0, 1.5, 2.0, 1.5, 2.0, 1.5)
DOTS = (0.01, 1.0)
"""Drawn with a round cap these marks become dots as wide as the pen."""


@dataclass(frozen=True, slots=True)
class TextStyle:
    """Face, em size in mm, color and added space between letters in mm."""

    face: Face
    size_mm: float
    color: Color = BLACK
    tracking_mm: float = 0.0

    @property
    def cap_height_mm(self) -> float:
        """Height of the flat capitals in mm."""
        return self.size_mm * self.face.cap_height

    @property
    def ascent_mm(self) -> float:
        """Height of the tallest letters above the baseline in mm, as the face states it."""
        return self.size_mm * self.face.ascent

    def colored(self, color: Color) -> TextStyle:
        """Return this style in another color."""
        return replace(self, color=color)

    def in_face(self, face: Face) -> TextStyle:
        """Return this style in another face at the same em size."""
        return replace(self, face=face)


def points(face: Face, size_pt: float, color: Color = BLACK) -> TextStyle:
    """Return a style by its em size in typographic points (1/72 in)."""
    return TextStyle(face, size_pt * MM_PER_POINT, color)


def capitals(face: Face, cap_height_mm: float, color: Color = BLACK) -> TextStyle:
    """Return a style by the height of its flat capitals in mm."""
    return TextStyle(face, face.size_of_caps(cap_height_mm), color)
