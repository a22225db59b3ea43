"""Sheets that are tables: conductors and devices, equipment and panels, calculation summary, load calculation, labels."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.panel_face import panel_blocks
from permitgen.documents.sheets.part import SheetPart
from permitgen.documents.sheets.violation_list import violation_group, violation_notes
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.views.calculation_summary import CalculationSummary
    from permitgen.views.load_summary import LoadSummary
    from permitgen.views.panel_faces import PanelFace
    from permitgen.views.schedules import Schedule


def schedules_part(number: str, schedules: Sequence[Schedule], *, notes: Sequence[str] = (), marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return some schedules, each a group of its own, the first with the notes; nothing where there is nothing to list."""
    if not schedules:
        return SheetPart(number)
    first, *others = [schedule_blocks(each, marks) for each in schedules]
    noted = (*first, Notes(tuple(notes))) if notes else first
    return SheetPart(number, groups=[noted, *others])


def equipment_part(schedules: Sequence[Schedule], faces: Sequence[PanelFace], marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return E-604: the panels as they are seen with the cover open, then the schedules of equipment and disconnecting means."""
    part = schedules_part("E-604", schedules, marks=marks)
    panels = [panel_blocks(face, marks, with_key=face is faces[0]) for face in faces]
    return SheetPart("E-604", groups=[*panels, *part.groups], together=len(panels))


def schedule_blocks(each: Schedule, marks: SheetMarks = NO_MARKS) -> tuple[Block, ...]:
    """Return a schedule under its heading, and what is violated in it below."""
    changed = [marks.clouds.mark_of_row(each.title, row) for row in each.rows]
    faults = [marks.faults_of_row(each, index) for index in range(len(each.rows))]
    plain = schedule(each.headings, each.rows, marks=changed, faults=faults)
    listed = violation_notes(marks, marks.faults_of(each))
    return (Heading(each.title), plain, *listed)


def summary_part(summary: CalculationSummary, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return E-605: how the rules stand, what is violated and open, and the governing numbers by subject."""
    first: list[Block] = [
        Heading("Code check summary"),
        Paragraph(summary.status, is_strong=True),
        *(Paragraph(line) for line in summary.notes),
    ]
    # The sentence and what it says of the governing cases stand above their table; what is open, with the violations, by itself.
    *others, last = [schedule_blocks(each, marks) for each in summary.schedules] or [()]
    violated = violation_group(marks, [each.number for each in marks.violations.listed], "the sheets")
    return SheetPart("E-605", groups=[violated, (*first, *last), *others])


def loads_part(summary: LoadSummary) -> SheetPart:
    """Return E-606: the load calculation with its terms, and what is compared with it; nothing where no load was calculated."""
    return SheetPart("E-606", groups=[schedule_blocks(each) for each in summary.schedules])
