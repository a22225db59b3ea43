"""Sheets that are tables: conductors and devices, equipment and panels, calculation summary, load calculation, labels."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, flow_over_sheets, natural_width, schedule
from permitgen.documents.sheets.sheet import Drawing
from permitgen.documents.sheets.shelves import shelved
from permitgen.documents.sheets.title_block import SheetName
from permitgen.views.plan_sheets import SHEETS, continued
from permitgen.views.revision_clouds import NO_CLOUDS, RevisionClouds

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.canvas.bounds import Box
    from permitgen.views.calculation_summary import CalculationSummary
    from permitgen.views.load_summary import LoadSummary
    from permitgen.views.schedules import Schedule

# Columns of words take what is left; columns of figures and tags have their natural width.
_WORDS = frozenset(
    {
        "CONDUCTORS",
        "WHERE",
        "HOLDS",
        "RATINGS",
        "EQUIPMENT",
        "WORDING",
        "PLACE",
        "LABEL",
        "SERVES",
        "NAME",
        "WHY",
        "REQUIREMENT",
        "FINDING",
        "STEP",
        "CALCULATION",
        "COLOR OR MARK",
        "CIRCUITS",
    }
)


def schedule_drawings(
    number: str, schedules: Sequence[Schedule], room: Box, *, notes: Sequence[str] = (), clouds: RevisionClouds = NO_CLOUDS
) -> tuple[Drawing, ...]:
    """Return the sheets of some schedules, as many as they take; none where there is nothing to list."""
    if not schedules:
        return ()
    blocks: list[tuple[Block, ...]] = [schedule_blocks(each, room.width, clouds) for each in schedules]
    if notes:
        blocks.append((Heading("Notes"), Notes(tuple(notes))))
    sheets = shelved(blocks, room)
    return tuple(Drawing(SheetName(continued(number, part), SHEETS[number]), shapes) for part, shapes in enumerate(sheets, start=1))


def schedule_blocks(each: Schedule, width: float, clouds: RevisionClouds = NO_CLOUDS) -> tuple[Block, ...]:
    """Return a schedule under its heading; columns of words share the width when the table is wider than its room."""
    marks = [clouds.mark_of_row(each.title, row) for row in each.rows]
    plain = schedule(each.headings, each.rows, marks=marks)
    if natural_width(plain) <= width:
        return (Heading(each.title), plain)
    shares = [_share(each, index) if heading in _WORDS else 0.0 for index, heading in enumerate(each.headings)]
    return (Heading(each.title), schedule(each.headings, each.rows, shares=shares, marks=marks))


def _share(each: Schedule, index: int) -> float:
    """Columns of words share the room by how much they have to say."""
    longest = max(len(row[index]) for row in each.rows)
    return math.pow(max(longest, 8), 0.7)


def summary_drawings(summary: CalculationSummary, room: Box, clouds: RevisionClouds = NO_CLOUDS) -> tuple[Drawing, ...]:
    """Return E-605: how the rules stand, what is open, and the governing numbers by subject."""
    blocks: list[Block] = [
        Heading("Code check summary"),
        Paragraph(summary.status, is_strong=True),
        *(Paragraph(line) for line in summary.notes),
    ]
    for each in summary.schedules:
        blocks += schedule_blocks(each, room.width, clouds)
    return _sheets("E-605", blocks, room, 1)


def load_drawings(summary: LoadSummary, room: Box) -> tuple[Drawing, ...]:
    """Return E-606: the load calculation with its steps, method by method; none where no load was calculated."""
    if not summary.parts:
        return ()
    width = (room.width - 8.0) / 2
    blocks: list[Block] = []
    for part in summary.parts:
        blocks += [Heading(part.title), Paragraph(part.result, is_strong=True)]
        for each in part.schedules:
            blocks += schedule_blocks(each, width)
    return _sheets("E-606", blocks, room, 2)


def _sheets(number: str, blocks: Sequence[Block], room: Box, columns: int) -> tuple[Drawing, ...]:
    dealt = flow_over_sheets(blocks, room, columns=columns)
    return tuple(Drawing(SheetName(continued(number, part), SHEETS[number]), shapes) for part, shapes in enumerate(dealt, start=1))
