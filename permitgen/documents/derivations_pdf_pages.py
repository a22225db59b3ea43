"""Pages of the calculation PDF: front matter and subjects flowed apart, then joined by page numbers and running lines."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from permitgen.documents.calculation_steps import LAST_SECTION, numbered_groups
from permitgen.documents.calculation_wording import footer_text
from permitgen.documents.canvas.flow import Format, Running, bookmarks_of, flow_columns, pages_of, pages_of_bookmarks
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.derivations_pdf_front import front_blocks
from permitgen.documents.derivations_pdf_subjects import subject_blocks
from permitgen.documents.titled_pdf import page_header, shortened

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from permitgen.documents.calculation_steps import NumberedGroup
    from permitgen.documents.canvas.flow import ColumnOfPage
    from permitgen.documents.canvas.page import Page
    from permitgen.views.calculation_sheet import CalculationSheet

_PAPER = Format()


def derivation_pages(sheet: CalculationSheet) -> tuple[Page, ...]:
    """Return the pages of a calculation sheet."""
    groups = numbered_groups(sheet)
    body = flow_columns(subject_blocks(sheet, groups), _PAPER)
    # The front names pages of the body, and the body begins after the front: once to count its pages, once to print it.
    front = flow_columns(front_blocks(sheet, groups, {}), _PAPER)
    page_of = pages_of_bookmarks((*front, *body))
    columns = (*flow_columns(front_blocks(sheet, groups, page_of), _PAPER), *body)
    header = partial(_header, sheet, _subjects_on_pages(columns, groups))
    return pages_of(columns, replace(_PAPER, header=header, footer=partial(_footer, sheet)))


def _header(sheet: CalculationSheet, subjects: Mapping[int, str], number: int, _count: int) -> Running:
    return page_header(_PAPER, sheet.title, "Derivations", subjects.get(number, ""))


def _footer(sheet: CalculationSheet, number: int, count: int) -> Running:
    right, style = f"Page {number} of {count}", _PAPER.scale.small
    return Running(
        left=shortened(footer_text(sheet.title, sheet.document_id), style, _PAPER.column_width_mm - text_width(right, style) - 8.0),
        right=right,
    )


def _subjects_on_pages(columns: Sequence[ColumnOfPage], groups: Sequence[NumberedGroup]) -> dict[int, str]:
    """Return for each page the first and last subject on it, as a dictionary names its words at the head of a page."""
    tags = {numbered.bookmark: (group.title, numbered.block.tag) for group in groups for numbered in group.blocks}
    sections = {LAST_SECTION[0], *(group.bookmark for group in groups)}
    found: dict[int, str] = {}
    carried: tuple[str, str] | None = None
    for number, column in enumerate(columns, start=1):
        here = [tags[bookmark.key] for bookmark in bookmarks_of(column) if bookmark.key in tags]
        begins = any(bookmark.key in tags or bookmark.key in sections for bookmark in bookmarks_of(column[:1]))
        shown = here if begins or carried is None else [carried, *here]
        if shown:
            title, first = shown[0]
            last_title, last = shown[-1]
            found[number] = f"{title}: {first}" if shown[0] == shown[-1] else _range(title, first, last_title, last)
            carried = shown[-1]
        if any(bookmark.key == LAST_SECTION[0] for bookmark in bookmarks_of(column)):
            carried = None
    return found


def _range(title: str, first: str, last_title: str, last: str) -> str:
    return f"{title}: {first} to {last}" if title == last_title else f"{title}: {first} to {last_title}: {last}"
