"""The derivations as a PDF: letter paper, bookmarks, links, page numbers, the same bytes for the same sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.derivations_pdf_pages import derivation_pages
from permitgen.documents.titled_pdf import calculation_file

if TYPE_CHECKING:
    from permitgen.views.calculation_sheet import CalculationSheet


def derivations_pdf(sheet: CalculationSheet) -> bytes:
    """Return the PDF file of a calculation sheet.

    Raises MissingGlyphError when a text of the project holds a character that cannot be printed.
    """
    return calculation_file("Derivations", sheet.title, sheet.document_id, derivation_pages(sheet))
