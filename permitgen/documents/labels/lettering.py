"""Letter heights and faces of labels.

A height fixed by the code is drawn 5 % taller, so that a sheet printed at 96 % still passes (1.05 x 0.96 = 1.008).
Below 0.16 in no condensed face is used; strokes are a fifth to an eighth of the height (common practice after ANSI Z535).
"""

from __future__ import annotations

from typing import Literal

from permitgen.documents.canvas.colors import Color, contrast
from permitgen.documents.canvas.styles import MM_PER_INCH, TextStyle, capitals
from permitgen.documents.fonts.faces import (
    CONDENSED_BOLD,
    CONDENSED_BOLD_ITALIC,
    CONDENSED_MEDIUM,
    NARROW_BOLD,
    SANS_BOLD,
    SANS_SEMIBOLD,
    Face,
)
from permitgen.views.label import LabelLine, Role

OVERSIZE = 1.05
SMALL_LETTERS_IN = 0.16
SIGNAL_TO_MESSAGE = 1.5
"""Height of the signal word by that of the message (ANSI Z535.4, from memory)."""
LEAST_CONTRAST, LEAST_CONTRAST_SMALL = 4.5, 7.0
"""WCAG 2.2, 1.4.3 and 1.4.6; the stricter one holds for letters below 0.16 in."""

Width = Literal["normal", "narrow"]


class LabelContrastError(ValueError):
    """Letters do not stand out enough from their ground."""


def cap_height_mm(line: LabelLine) -> float:
    """Return the height of the capitals in which a line is drawn."""
    chosen = line.own_height_in * MM_PER_INCH
    if line.binding_height_in is None:
        return max(chosen, line.least_height_mm)
    return max(chosen, OVERSIZE * line.binding_height_in * MM_PER_INCH, line.least_height_mm)


def face_for(role: Role, height_mm: float, width: Width) -> Face:
    """Return the face for a line by its role and the height of its capitals."""
    if role == "signal":
        return SANS_BOLD
    if height_mm < SMALL_LETTERS_IN * MM_PER_INCH - 1e-9:
        return SANS_BOLD if role == "title" else SANS_SEMIBOLD
    if width == "narrow":
        return NARROW_BOLD
    return CONDENSED_BOLD if role in ("title", "message") else CONDENSED_MEDIUM


def signal_face(word: str) -> Face:
    """Return the face of a signal word: NOTICE is set slanting, the others upright (ANSI Z535.4, from memory)."""
    return CONDENSED_BOLD_ITALIC if word == "NOTICE" else SANS_BOLD


def style_for(role: Role, height_mm: float, width: Width, color: Color) -> TextStyle:
    """Return the text style of a line."""
    return capitals(face_for(role, height_mm, width), height_mm, color)


def require_contrast(text: Color, ground: Color, height_mm: float, label_id: str) -> None:
    """Raise LabelContrastError when letters of a height do not stand out enough."""
    least = LEAST_CONTRAST_SMALL if height_mm < SMALL_LETTERS_IN * MM_PER_INCH - 1e-9 else LEAST_CONTRAST
    ratio = contrast(text, ground)
    if ratio < least:
        raise LabelContrastError(
            f"label {label_id}: {text.name} on {ground.name} has a contrast of {ratio:.1f}; letters {height_mm:.1f} mm tall need {least:g}"
        )
