"""E-608: the directory placard at reduced size, with its true size stated."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.shapes import Group, Shape, Text, moved, scaled
from permitgen.documents.canvas.text_flow import break_lines
from permitgen.documents.placard import placard_plates
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.part import DrawnSheet, SheetPart

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from permitgen.documents.canvas.page import Page as CanvasPage
    from permitgen.views.placard import Placard

NUMBER = "E-608"
_CAPTION_LINES = 1.5
_SMALLER = (0.6, 0.5)
"""How small a placard may be shown: at half its size letters of 3/16 in still have the 3/32 in of plan sheets."""


def placards_part(placards: Sequence[Placard], room: Box) -> SheetPart:
    """Return a drawing for each plate of the placard, as large as a sheet holds or smaller."""
    return SheetPart(NUMBER, [_forms(plate.placard, plate.page, room) for plate in placard_plates(placards)], floats=True)


def _forms(placard: Placard, page: CanvasPage, room: Box) -> list[Callable[[], DrawnSheet]]:
    largest = min(1.0, room.width / page.width_mm, (room.height - 2 * _CAPTION_LINES * LETTERING.leading_mm) / page.height_mm)
    factors = [largest, *(factor for factor in _SMALLER if factor < largest)]
    return [partial(_drawn, placard, page, factor, room) for factor in factors]


def _drawn(placard: Placard, page: CanvasPage, factor: float, room: Box) -> DrawnSheet:
    width, bottom = page.width_mm * factor, room.top + page.height_mm * factor
    size = f"{placard.size}, here at {factor:.0%} of its size" if factor < 1.0 else placard.size
    where = f" at {placard.place}" if placard.place else ""
    caption = f"Placard {placard.number} of {placard.of}, posted{where}. True size {size}; placard.pdf holds it true to size."
    lines = break_lines(caption, LETTERING.text, width)
    shapes: list[Shape] = [Group(page.shapes, transform=moved(room.left, room.top).after(scaled(factor)))]
    shapes += [Text(room.left, bottom + (index + 1.2) * LETTERING.leading_mm, line, LETTERING.text) for index, line in enumerate(lines)]
    return DrawnSheet(shapes, [Box(room.left, room.top, room.left + width, bottom + (len(lines) + 0.5) * LETTERING.leading_mm)], "NO SCALE")
