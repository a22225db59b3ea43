"""E-602: the three-line diagram, every conductor drawn, where the jurisdiction asks for one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.diagram.fitting import Area, fit
from permitgen.documents.diagram.three_line.drafting import ThreeLineDrafting
from permitgen.documents.sheets.flowing import Heading, Notes
from permitgen.documents.sheets.one_line_sheet import diagram_drawn, faults_of_diagram
from permitgen.documents.sheets.part import SheetPart, as_drawn
from permitgen.documents.sheets.violation_list import violation_group
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks

if TYPE_CHECKING:
    from permitgen.documents.canvas.bounds import Box
    from permitgen.views.one_line import OneLine

NUMBER = "E-602"
_NOTES = (
    "L1 and L2 ungrounded, N neutral, G ground; a dot is a connection, a plain crossing is not. A pole is shown in each conductor opened.",
    "The leg of a one-pole breaker follows its space; field-verify.",
    "Tags, steps and ratings are those of the one-line diagram, E-601.",
)


def three_line_part(view: OneLine, room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return the diagram, drawn into ``room``."""
    sketches = fit(view.roots, Area(room.width, room.height), NUMBER, f"{NUMBER}-{{}}", with_air=False, drafting=ThreeLineDrafting())
    sheets = [diagram_drawn(sketch, room, marks) for sketch in sketches]
    listed = violation_group(marks, faults_of_diagram(view.units(), marks), NUMBER)
    return SheetPart(
        NUMBER,
        as_drawn(sheets),
        [listed, [Heading("Notes on the three-line diagram"), Notes((*_NOTES, *view.stated))]],
        part_ways=len(sketches),
    )
