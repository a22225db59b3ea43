"""Z-001: the list of the attached documents."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.sheets.flowing import Heading, Notes, Paragraph
from permitgen.documents.sheets.part import SheetPart

if TYPE_CHECKING:
    from collections.abc import Sequence

NUMBER = "Z-001"


def attachments_part(rows: Sequence[tuple[str, ...]]) -> SheetPart:
    """Return the list; ``rows`` are number, title, file, pages and digest of each attachment. Nothing without attachments."""
    if not rows:
        return SheetPart(NUMBER)
    lines = tuple(f"{title}: {file}, {pages} p., SHA-256 begins {digest}" for _, title, file, pages, digest in rows)
    remark = "Attached pages follow unchanged, at their own size. Responsibility for them is with those who issued them."
    return SheetPart(NUMBER, groups=[(Heading("Attached documents"), Notes(lines), Paragraph(remark))])
