"""The derivations as a PDF: letter paper, bookmarks, links, page numbers, the same bytes for the same sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.canvas.page import Document
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.derivations_pdf_pages import derivation_pages

if TYPE_CHECKING:
    from permitgen.views.calculation_sheet import CalculationSheet


def derivations_pdf(sheet: CalculationSheet) -> bytes:
    """Return the PDF file of a calculation sheet.

    Raises MissingGlyphError when a text of the project holds a character that cannot be printed.
    """
    title = sheet.title
    return pdf_bytes(
        Document(
            pages=derivation_pages(sheet),
            title=f"Derivations, {title.project}",
            subject=f"{title.edition}, {title.jurisdiction}, revision {title.revision}, Document ID {sheet.document_id}",
            author=title.contractor,
            keywords=tuple(part for part in (title.number, title.permit_number, title.edition) if part),
        )
    )
