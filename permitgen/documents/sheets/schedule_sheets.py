"""Sheets that are tables: conductors and devices, equipment and panels, calculation summary, load calculation, labels."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

from permitgen.documents.canvas.table import Table, table_strips
from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, natural_width, schedule
from permitgen.documents.sheets.panel_face import panel_blocks
from permitgen.documents.sheets.part import SheetPart
from permitgen.documents.sheets.violation_list import violation_group, violation_notes
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from permitgen.documents.canvas.bounds import Box
    from permitgen.views.calculation_summary import CalculationSummary
    from permitgen.views.load_summary import LoadSummary
    from permitgen.views.panel_faces import PanelFace
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
        "SECTION",
    }
)


def schedules_part(
    number: str, schedules: Sequence[Schedule], room: Box, *, notes: Sequence[str] = (), marks: SheetMarks = NO_MARKS
) -> SheetPart:
    """Return some schedules, each a group of its own, the first with the notes; nothing where there is nothing to list."""
    if not schedules:
        return SheetPart(number)
    first, *others = [schedule_blocks(each, room.width, marks) for each in schedules]
    noted = (*first, Notes(tuple(notes))) if notes else first
    return SheetPart(number, groups=[noted, *others])


def equipment_part(schedules: Sequence[Schedule], faces: Sequence[PanelFace], room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return E-604: the panels as they are seen with the cover open, then the schedules of equipment and disconnecting means."""
    part = schedules_part("E-604", schedules, room, marks=marks)
    panels = [panel_blocks(face, marks, with_key=face is faces[0]) for face in faces]
    return SheetPart("E-604", groups=[*panels, *part.groups], together=len(panels))


def schedule_blocks(each: Schedule, width: float, marks: SheetMarks = NO_MARKS) -> tuple[Block, ...]:
    """Return a schedule under its heading; columns of words share the width when the table is wider than its room."""
    changed = [marks.clouds.mark_of_row(each.title, row) for row in each.rows]
    faults = [marks.faults_of_row(each, index) for index in range(len(each.rows))]
    plain = schedule(each.headings, each.rows, marks=changed, faults=faults)
    listed = violation_notes(marks, marks.faults_of(each))
    if natural_width(plain) <= width:
        return (Heading(each.title), plain, *listed)

    def table(shares: Sequence[float]) -> Table:
        return schedule(each.headings, each.rows, shares=shares, marks=changed, faults=faults)

    return (Heading(each.title), table(_least_tall(_shares(each), lambda shares: _height(table(shares), width))), *listed)


def _shares(each: Schedule) -> tuple[float, ...]:
    """Columns of words share the room by how much they have to say in all rows together, to begin with."""
    lengths = (sum(len(row[index]) for row in each.rows) / len(each.rows) for index in range(len(each.headings)))
    return tuple(
        math.pow(max(length, 8), 0.7) if heading in _WORDS else 0.0 for heading, length in zip(each.headings, lengths, strict=True)
    )


def _least_tall(shares: tuple[float, ...], height: Callable[[tuple[float, ...]], float]) -> tuple[float, ...]:
    """Widen and narrow one column after the other while that makes the table less tall."""
    least = height(shares)
    for _, index, factor in itertools.product(range(2), range(len(shares)), (0.92, 1.08, 0.8, 1.25)):
        tried = (*shares[:index], shares[index] * factor, *shares[index + 1 :])
        if shares[index] and (found := height(tried)) < least:
            shares, least = tried, found
    return shares


def _height(table: Table, width: float) -> float:
    return sum(strip.height for strip in table_strips(table, width))


def summary_part(summary: CalculationSummary, room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return E-605: how the rules stand, what is violated and open, and the governing numbers by subject."""
    first: list[Block] = [
        Heading("Code check summary"),
        Paragraph(summary.status, is_strong=True),
        *(Paragraph(line) for line in summary.notes),
    ]
    # The sentence and what it says of the governing cases stand above their table; what is open, with the violations, by itself.
    *others, last = [schedule_blocks(each, room.width, marks) for each in summary.schedules] or [()]
    violated = violation_group(marks, [each.number for each in marks.violations.listed], "the sheets")
    return SheetPart("E-605", groups=[violated, (*first, *last), *others])


def loads_part(summary: LoadSummary, room: Box) -> SheetPart:
    """Return E-606: the load calculation with its terms, and what is compared with it; nothing where no load was calculated."""
    return SheetPart("E-606", groups=[schedule_blocks(each, room.width) for each in summary.schedules])
