"""Z-001: the list of the attached documents."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.part import SheetPart

if TYPE_CHECKING:
    from collections.abc import Sequence

NUMBER = "Z-001"


def attachments_part(rows: Sequence[tuple[str, ...]], sheet_rows: Sequence[tuple[str, ...]] = ()) -> SheetPart:
    """Return the list; ``rows`` are number, title, file, pages and digest of each attachment.

    ``sheet_rows`` are the rows of data sheets that matter: hardware, data sheet, row, where it is boxed. Nothing without either.
    """
    groups: list[tuple[Block, ...]] = []
    if rows:
        lines = tuple(f"{title}: {file}, {pages} p., SHA-256 begins {digest}" for _, title, file, pages, digest in rows)
        as_issued = (
            "unchanged but for red boxes around rows that matter"
            if any(where.startswith(NUMBER) for *_, where in sheet_rows)
            else "unchanged"
        )
        remark = f"Attached pages follow {as_issued}, at their own size. Responsibility for them is with those who issued them."
        groups.append((Heading("Attached documents"), Notes(lines), Paragraph(remark)))
    if sheet_rows:
        groups.append((Heading("Data sheets, rows that matter"), schedule(("HARDWARE", "DATA SHEET", "ROW", "BOXED ON"), sheet_rows)))
    return SheetPart(NUMBER, groups=groups)
