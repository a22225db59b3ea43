"""Z-001: the divider before the attached documents, with the list of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.sheets.flowing import Block, Heading, Notes, flow_over_sheets, schedule
from permitgen.documents.sheets.sheet import Drawing
from permitgen.documents.sheets.title_block import SheetName
from permitgen.views.plan_sheets import SHEETS, continued

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.canvas.bounds import Box

NUMBER = "Z-001"


def attachment_drawings(rows: Sequence[tuple[str, ...]], room: Box) -> tuple[Drawing, ...]:
    """Return the divider; ``rows`` are number, title, file, pages and digest of each attachment. None without attachments."""
    if not rows:
        return ()
    blocks: list[Block] = [
        Heading("Attached documents"),
        schedule(("NO.", "TITLE", "FILE", "PAGES", "SHA-256, FIRST 16"), rows, shares=(0, 2, 1, 0, 0)),
        Notes(("Attached pages follow unchanged, at their own size. Responsibility for them is with those who issued them.",)),
    ]
    dealt = flow_over_sheets(blocks, room)
    return tuple(Drawing(SheetName(continued(NUMBER, part), SHEETS[NUMBER]), shapes) for part, shapes in enumerate(dealt, start=1))
