"""What the PDFs of a package share: what their properties say, and the lines at head and foot of their pages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.calculation_wording import footer_text
from permitgen.documents.canvas.flow import Format, Running
from permitgen.documents.canvas.page import Document
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.fonts.faces import SANS_SEMIBOLD

if TYPE_CHECKING:
    from permitgen.documents.canvas.page import Page
    from permitgen.documents.canvas.styles import TextStyle
    from permitgen.views.title import DocumentTitle

_BESIDE_MM = 8.0
"""Between what stands left and right on one line."""


def titled_pdf(what: str, title: DocumentTitle, document_id: str, pages: tuple[Page, ...]) -> bytes:
    """Return the file of a document of the package; ``what`` names it."""
    subject = f"{title.edition}, revision {title.revision}, Document ID {document_id}"
    return pdf_bytes(Document(pages, title=f"{what}, {title.project}", subject=subject, author=title.contractor))


def calculation_file(what: str, title: DocumentTitle, document_id: str, pages: tuple[Page, ...]) -> bytes:
    """Return the file of a calculation, which also says for whom it is and by which numbers it is looked for."""
    return pdf_bytes(
        Document(
            pages=pages,
            title=f"{what}, {title.project}",
            subject=f"{title.edition}, {title.jurisdiction}, revision {title.revision}, Document ID {document_id}",
            author=title.contractor,
            keywords=tuple(part for part in (title.number, title.permit_number, title.edition) if part),
        )
    )


def page_footer(title: DocumentTitle, document_id: str, number: int, count: int) -> Running:
    """Return the foot of a page: project number, revision and Document ID, and which page it is."""
    return Running(left=footer_text(title, document_id), right=f"Page {number} of {count}")


def page_header(paper: Format, title: DocumentTitle, what: str, right: str) -> Running:
    """Return the head of a page: document and project, as much of them as ``right`` leaves room for, and the band of a shut gate."""
    style = paper.scale.small
    room = paper.column_width_mm - text_width(right, style) - _BESIDE_MM
    warning = shortened(f"✗ {title.banner}", style.in_face(SANS_SEMIBOLD), paper.column_width_mm) if title.has_violations else ""
    return Running(left=shortened(f"{what} · {title.project}", style, room), right=right, warning=warning)


def shortened(text: str, style: TextStyle, width_mm: float) -> str:
    """Return ``text`` on one line at most ``width_mm`` wide, with an ellipsis in the middle where it had to be cut."""
    line = " ".join(text.split())
    kept = len(line)
    while kept and text_width(line, style) > width_mm:
        kept -= 1
        full = " ".join(text.split())
        line = f"{full[: -(-kept // 2)]}…{full[len(full) - kept // 2 :]}"
    return line
