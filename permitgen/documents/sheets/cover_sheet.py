"""G-001: what is to be built, who builds it, under which codes; the index with links; cautions; where reviewers find what they look for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.documents.canvas.table import Row, Table
from permitgen.documents.canvas.typography import Run
from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, flow_over_sheets, schedule
from permitgen.documents.sheets.sheet import Drawing, bookmark_of
from permitgen.documents.sheets.title_block import SheetName
from permitgen.views.plan_sheets import SHEETS, continued

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.canvas.bounds import Box
    from permitgen.views.cover import Cover
    from permitgen.views.plan_coverage import CoverageRow

NUMBER = "G-001"


@dataclass(frozen=True, slots=True)
class IndexLine:
    """One line of the index; ``mark`` is the revision that changed the sheet, ``leads_to`` another sheet than its own to open."""

    number: str
    title: str
    mark: str = ""
    leads_to: str = ""


def cover_drawings(
    cover: Cover, index: Sequence[IndexLine], coverage: Sequence[CoverageRow], room: Box, document_id: str
) -> tuple[Drawing, ...]:
    """Return the cover, continued where the index or the statements are long; ``document_id`` is that of the whole set."""
    blocks: list[Block] = [
        Heading(cover.heading),
        *([Paragraph(cover.address, is_strong=True)] if cover.address else []),
        Heading("Scope of work"),
        *(Paragraph(line) for line in cover.scope),
        Heading("Sheets"),
        _index(index),
        Paragraph(f"Document ID of the whole set: {document_id}"),
        Heading("Codes"),
        *(Paragraph(line) for line in cover.codes),
        Heading("Site and authority"),
        _pairs(cover.site),
        Heading("People"),
        _pairs(cover.people),
    ]
    if cover.revisions:
        blocks += [Heading("Revisions"), schedule(("REV", "DATE", "DESCRIPTION", "BY"), cover.revisions, shares=(0, 0, 1, 0))]
    blocks += [
        Heading("Statements"),
        Paragraph(cover.status, is_strong=True),
        *(Paragraph(line, is_strong=True) for line in cover.field),
        Notes(cover.statements),
        Heading("Plan review index"),
        schedule(("ITEM", "SHEET"), [(row.item, row.where) for row in coverage], shares=(3, 2)),
    ]
    dealt = flow_over_sheets(blocks, room, columns=3 if room.width > 300.0 else 2)
    return tuple(Drawing(SheetName(continued(NUMBER, part), SHEETS[NUMBER]), shapes) for part, shapes in enumerate(dealt, start=1))


def _index(index: Sequence[IndexLine]) -> Table:
    """The index; each number leads to its sheet."""
    table = schedule(("SHEET", "TITLE", "REV"), [(line.number, line.title, line.mark) for line in index], shares=(0, 1, 0))
    rows = tuple(Row(((Run(line.number, link=f"#{bookmark_of(line.leads_to or line.number)}"),), line.title, line.mark)) for line in index)
    return Table(table.columns, rows, table.style)


def _pairs(rows: Sequence[tuple[str, str]]) -> Table:
    return schedule(("", ""), rows, shares=(0, 1))
