"""Sheets that are tables: conductors and devices, equipment and panels, calculation summary, load calculation, labels."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, natural_width, schedule
from permitgen.documents.sheets.panel_face import panel_blocks
from permitgen.documents.sheets.part import SheetPart
from permitgen.documents.sheets.violation_list import violation_group, violation_notes
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks

if TYPE_CHECKING:
    from collections.abc import Sequence

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
    }
)


def schedules_part(
    number: str, schedules: Sequence[Schedule], room: Box, *, notes: Sequence[str] = (), marks: SheetMarks = NO_MARKS
) -> SheetPart:
    """Return some schedules, each a group of its own; nothing where there is nothing to list."""
    if not schedules:
        return SheetPart(number)
    groups: list[Sequence[Block]] = [schedule_blocks(each, room.width, marks) for each in schedules]
    if notes:
        groups.append((Heading("Notes"), Notes(tuple(notes))))
    return SheetPart(number, groups=groups)


def equipment_part(schedules: Sequence[Schedule], faces: Sequence[PanelFace], room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return E-604: the panels as they are seen with the cover open, then the schedules of equipment and disconnecting means."""
    part = schedules_part("E-604", schedules, room, marks=marks)
    panels = [panel_blocks(face, marks, with_key=face is faces[0]) for face in faces]
    return SheetPart("E-604", groups=[*panels, *part.groups])


def schedule_blocks(each: Schedule, width: float, marks: SheetMarks = NO_MARKS) -> tuple[Block, ...]:
    """Return a schedule under its heading; columns of words share the width when the table is wider than its room."""
    changed = [marks.clouds.mark_of_row(each.title, row) for row in each.rows]
    faults = [marks.faults_of_row(each, index) for index in range(len(each.rows))]
    plain = schedule(each.headings, each.rows, marks=changed, faults=faults)
    listed = violation_notes(marks, marks.faults_of(each))
    if natural_width(plain) <= width:
        return (Heading(each.title), plain, *listed)
    shares = [_share(each, index) if heading in _WORDS else 0.0 for index, heading in enumerate(each.headings)]
    return (Heading(each.title), schedule(each.headings, each.rows, shares=shares, marks=changed, faults=faults), *listed)


def _share(each: Schedule, index: int) -> float:
    """Columns of words share the room by how much they have to say in all rows together."""
    length = sum(len(row[index]) for row in each.rows) / len(each.rows)
    return math.pow(max(length, 8), 0.85)


def summary_part(summary: CalculationSummary, room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return E-605: how the rules stand, what is violated and open, and the governing numbers by subject."""
    first: list[Block] = [
        Heading("Code check summary"),
        Paragraph(summary.status, is_strong=True),
        *(Paragraph(line) for line in summary.notes),
    ]
    tables = [schedule_blocks(each, room.width, marks) for each in summary.schedules]
    violated = violation_group(marks, [each.number for each in marks.violations.listed], "the sheets")
    return SheetPart("E-605", groups=[first, violated, *tables])


def loads_part(summary: LoadSummary, room: Box) -> SheetPart:
    """Return E-606: the load calculation with its terms, and what is compared with it; nothing where no load was calculated."""
    return SheetPart("E-606", groups=[schedule_blocks(each, room.width) for each in summary.schedules])
