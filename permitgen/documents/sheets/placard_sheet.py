"""E-608: the directory placard at reduced size, with its true size stated."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.canvas.shapes import Group, Shape, Text, moved, scaled
from permitgen.documents.placard import placard_pages
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.sheet import Drawing
from permitgen.documents.sheets.title_block import SheetName
from permitgen.views.plan_sheets import SHEETS, continued

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.canvas.bounds import Box
    from permitgen.documents.canvas.page import Page as CanvasPage
    from permitgen.views.placard import Placard

NUMBER = "E-608"


def placard_drawings(placards: Sequence[Placard], room: Box) -> tuple[Drawing, ...]:
    """Return a sheet for each variant of the placard."""
    variants = zip(placards, placard_pages(placards), strict=True)
    return tuple(_drawing(placard, page, part, room) for part, (placard, page) in enumerate(variants, start=1))


def _drawing(placard: Placard, page: CanvasPage, part: int, room: Box) -> Drawing:
    caption_mm = 2 * LETTERING.leading_mm
    factor = min(1.0, room.width / page.width_mm, (room.height - caption_mm) / page.height_mm)
    left = room.left + (room.width - page.width_mm * factor) / 2
    shapes: list[Shape] = [Group(page.shapes, transform=moved(left, room.top).after(scaled(factor)))]
    size = f"{placard.size}, here at {factor:.0%} of its size" if factor < 1.0 else placard.size
    where = f" at {placard.place}" if placard.place else ""
    caption = f"Placard {placard.number} of {placard.of}, posted{where}. True size {size}; placard.pdf holds it true to size."
    shapes.append(
        Text(room.left + room.width / 2, room.top + page.height_mm * factor + LETTERING.leading_mm * 1.4, caption, LETTERING.text, "middle")
    )
    return Drawing(SheetName(continued(NUMBER, part), SHEETS[NUMBER]), tuple(shapes))
