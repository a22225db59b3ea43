"""The reviewer's calculation as a PDF: letter paper on its long side, contents by question, an index by section, page numbers, links."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from permitgen.documents.calculation_pdf_blocks import AT_FOOT, SCALE, PageOf, calculation_blocks
from permitgen.documents.calculation_wording import footer_text
from permitgen.documents.canvas.flow import Format, Running, bookmarks_of, flow_columns, pages_of
from permitgen.documents.canvas.page import LETTER, Document, Page
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.derivations_pdf_pages import shortened
from permitgen.documents.fonts.faces import SANS_SEMIBOLD
from permitgen.views.reviewer.document import TO_CONFIRM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.canvas.flow import ColumnOfPage
    from permitgen.views.reviewer.parts import ReviewerCalculation

_PAPER = Format(paper=LETTER.turned(), left_mm=11.0, right_mm=11.0, top_mm=17.8, bottom_mm=17.3, scale=SCALE)


def calculation_pdf(view: ReviewerCalculation) -> bytes:
    """Return the PDF file of a reviewer's calculation.

    Raises MissingGlyphError when a text of the project holds a character that cannot be printed.
    """
    title = view.title
    return pdf_bytes(
        Document(
            pages=calculation_pages(view),
            title=f"Electrical calculation, {title.project}",
            subject=f"{title.edition}, {title.jurisdiction}, revision {title.revision}, Document ID {view.document_id}",
            author=title.contractor,
            keywords=tuple(part for part in (title.number, title.permit_number, title.edition) if part),
        )
    )


def calculation_pages(view: ReviewerCalculation) -> tuple[Page, ...]:
    """Return the pages: once to learn where each row stands, once to name these pages in contents and index."""
    columns: tuple[ColumnOfPage, ...] = ()
    for _ in range(3):
        columns, before = flow_columns(calculation_blocks(view, page_of(columns)), _PAPER), columns
        if page_of(columns) == page_of(before):
            break
    running: Callable[[int, int], Running] = partial(_footer, columns)
    return pages_of(columns, replace(_PAPER, header=partial(_header, view), footer=running))


def page_of(columns: Sequence[ColumnOfPage]) -> PageOf:
    """Return the page of each row and heading by its key."""
    return {bookmark.key: number for number, column in enumerate(columns, start=1) for bookmark in bookmarks_of(column)}


def _header(view: ReviewerCalculation, _number: int, _count: int) -> Running:
    title, style = view.title, SCALE.small
    right = footer_text(title, view.document_id)
    room = _PAPER.column_width_mm - text_width(right, style) - 8.0
    strong = style.in_face(SANS_SEMIBOLD)
    warning = shortened(f"✗ {title.status}", strong, _PAPER.column_width_mm) if title.has_violations else ""
    return Running(left=shortened(f"Electrical calculation · {title.project}", style, room), right=right, warning=warning)


def _footer(columns: Sequence[ColumnOfPage], number: int, count: int) -> Running:
    """The line at the foot stands on the pages that have a row with its mark."""
    is_marked = any(placed.strip.mark == AT_FOOT for placed in columns[number - 1])
    return Running(left=TO_CONFIRM if is_marked else "", right=f"Page {number} of {count}")
