"""G-001: what is to be built, who builds it, under which codes; the index with links; cautions; where reviewers find what they look for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.documents.canvas.bounds import bounds
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.table import Row, Table
from permitgen.documents.canvas.text_flow import break_lines
from permitgen.documents.canvas.typography import Run
from permitgen.documents.sheets.flowing import Block, Figure, Heading, Notes, Paragraph, flow_over_sheets, schedule
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.part import DrawnSheet, SheetPart, as_drawn
from permitgen.documents.sheets.sheet import bookmark_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.canvas.bounds import Box
    from permitgen.views.cover import Cover
    from permitgen.views.plan_coverage import CoverageRow

NUMBER = "G-001"
_WIDE_MM = 300.0
_GAP_MM = 8.0


@dataclass(frozen=True, slots=True)
class IndexLine:
    """One line of the index; ``mark`` is the revision that changed the sheet, ``leads_to`` another sheet than its own to open."""

    number: str
    title: str
    mark: str = ""
    leads_to: str = ""


def cover_part(cover: Cover, index: Sequence[IndexLine], coverage: Sequence[CoverageRow], room: Box, document_id: str) -> SheetPart:
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
        Notes(cover.statements),
        Heading("As built and tested"),
        _from_the_field((*cover.field, *cover.approval), _column(room)),
        Heading("Plan review index"),
        schedule(("ITEM", "SHEET"), [(row.item, row.where) for row in coverage], shares=(3, 2)),
    ]
    return SheetPart(NUMBER, as_drawn(_flowed(blocks, room)))


_FIELD_LINES = 6
_NOTHING_YET = "Nothing from the field when this set was made."


def _from_the_field(said: Sequence[str], width: float) -> Figure:
    """What was found since it was permitted, in as much room as there is without it: results from the field move nothing on the sheets."""
    style = LETTERING.strong if said else LETTERING.text
    lines = [part for line in said or (_NOTHING_YET,) for part in break_lines(line, style, width)]
    if len(lines) > _FIELD_LINES:
        lines = [*lines[: _FIELD_LINES - 1], "and more: see the record and findings.json"]
    leading = LETTERING.leading_mm
    shapes = tuple(Text(0.0, leading * (index + 0.85), line, style) for index, line in enumerate(lines))
    return Figure(shapes, leading * _FIELD_LINES)


def _columns(room: Box) -> int:
    return 3 if room.width > _WIDE_MM else 2


def _column(room: Box) -> float:
    return (room.width - _GAP_MM * (_columns(room) - 1)) / _columns(room)


def _flowed(blocks: Sequence[Block], room: Box) -> list[DrawnSheet]:
    """Return the cover in columns; below each column of the last sheet there may be room for more."""
    return [
        DrawnSheet(list(shapes), [box for shape in shapes if (box := bounds([shape])) is not None], "NO SCALE")
        for shapes in flow_over_sheets(blocks, room, columns=_columns(room), gap_mm=_GAP_MM)
    ]


def _index(index: Sequence[IndexLine]) -> Table:
    """The index; each number leads to its sheet."""
    table = schedule(("SHEET", "TITLE", "REV"), [(line.number, line.title, line.mark) for line in index], shares=(0, 1, 0))
    rows = tuple(Row(((Run(line.number, link=f"#{bookmark_of(line.leads_to or line.number)}"),), line.title, line.mark)) for line in index)
    return Table(table.columns, rows, table.style)


def _pairs(rows: Sequence[tuple[str, str]]) -> Table:
    return schedule(("", ""), rows, shares=(0, 1))
