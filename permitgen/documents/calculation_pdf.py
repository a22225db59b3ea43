"""The reviewer's calculation as a PDF: letter paper on its long side, contents by question, an index by section, page numbers, links."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from permitgen.documents.calculation_pdf_blocks import AT_FOOT, SCALE, PageOf, calculation_blocks
from permitgen.documents.calculation_wording import footer_text
from permitgen.documents.canvas.flow import Format, Running, flow_columns, pages_of, pages_of_bookmarks
from permitgen.documents.canvas.page import LETTER, Page
from permitgen.documents.titled_pdf import calculation_file, page_header
from permitgen.views.reviewer.document import TO_CONFIRM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.canvas.flow import ColumnOfPage
    from permitgen.views.reviewer.parts import ReviewerCalculation

_PAPER = Format(paper=LETTER.turned(), left_mm=11.0, right_mm=11.0, top_mm=17.2, bottom_mm=15.3, scale=SCALE)


def calculation_pdf(view: ReviewerCalculation) -> bytes:
    """Return the PDF file of a reviewer's calculation.

    Raises MissingGlyphError when a text of the project holds a character that cannot be printed.
    """
    return calculation_file("Electrical calculation", view.title, view.document_id, calculation_pages(view))


def calculation_pages(view: ReviewerCalculation) -> tuple[Page, ...]:
    """Return the pages: once to learn where each row stands, once to name these pages in contents and index."""
    columns: tuple[ColumnOfPage, ...] = ()
    pages: PageOf = {}
    for _ in range(3):
        columns = flow_columns(calculation_blocks(view, pages), _PAPER)
        before, pages = pages, pages_of_bookmarks(columns)
        if pages == before:
            break
    running: Callable[[int, int], Running] = partial(_footer, columns)
    return pages_of(columns, replace(_PAPER, header=partial(_header, view), footer=running))


def _header(view: ReviewerCalculation, _number: int, _count: int) -> Running:
    return page_header(_PAPER, view.title, "Electrical calculation", footer_text(view.title, view.document_id))


def _footer(columns: Sequence[ColumnOfPage], number: int, count: int) -> Running:
    """The line at the foot stands on the pages that have a row with its mark."""
    is_marked = any(placed.strip.mark == AT_FOOT for placed in columns[number - 1])
    return Running(left=TO_CONFIRM if is_marked else "", right=f"Page {number} of {count}")
