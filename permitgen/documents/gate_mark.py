"""The mark of a shut gate on a label or plate: a band from corner to corner, so that nobody hangs it by mistake.

It marks the sheet of paper, not what the label says: the Document ID stays what it is, and the mark is gone when the gate opens.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.documents.canvas.colors import SAFETY_RED, WHITE
from permitgen.documents.canvas.figures import polygon, rectangle
from permitgen.documents.canvas.shapes import Group, Line, Shape, Text, moved, rotated
from permitgen.documents.canvas.styles import Pen, capitals
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.fonts.faces import CONDENSED_BOLD

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.canvas.page import Page
    from permitgen.documents.labels.set_label import SetLabel

_MOST_CAP_MM, _OF_DIAGONAL, _OF_HEIGHT = 12.0, 0.7, 0.22
LAYER = "gate"


def gate_mark(width: float, height: float, words: str) -> Group:
    """Return a diagonal with ``words`` on it for a sheet of a size in mm, cut off at its edges."""
    diagonal, angle = math.hypot(width, height), math.degrees(math.atan2(height, width))
    cap = min(_MOST_CAP_MM, height * _OF_HEIGHT)
    cap = min(cap, cap * diagonal * _OF_DIAGONAL / text_width(words, capitals(CONDENSED_BOLD, cap)))
    style = capitals(CONDENSED_BOLD, cap, SAFETY_RED)
    half = text_width(words, style) / 2 + cap * 0.7
    pen = Pen(max(0.5, cap * 0.2), SAFETY_RED)
    band = ((-half, -cap), (half, -cap), (half, cap), (-half, cap))
    along: tuple[Shape, ...] = (
        Line(-diagonal / 2, 0, -half, 0, pen),
        Line(half, 0, diagonal / 2, 0, pen),
        polygon(band, pen=pen, fill=WHITE),
        Text(0, cap / 2, words, style, "middle"),
    )
    turned = Group(along, transform=moved(width / 2, height / 2).after(rotated(angle)))
    return Group((turned,), clip=rectangle(0, 0, width, height), layer=LAYER)


def marked_page(page: Page, words: str) -> Page:
    """Return a page with the mark over all; as it is where ``words`` is empty."""
    return replace(page, shapes=(*page.shapes, gate_mark(page.width_mm, page.height_mm, words))) if words else page


def marked_labels(labels: Sequence[SetLabel], words: str) -> list[SetLabel]:
    """Return labels with the mark over each; as they are where ``words`` is empty."""
    if not words:
        return list(labels)
    return [replace(label, shapes=(*label.shapes, gate_mark(label.width_mm, label.height_mm, words))) for label in labels]
