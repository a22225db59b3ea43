"""E-501: the grounding and bonding diagram, the circuits of the arrays with rapid shutdown, and the tables to both."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.fitting import Area, fit
from permitgen.documents.sheets.flowing import Block, Heading, Notes, schedule
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.one_line_sheet import faults_of_diagram, items_drawn
from permitgen.documents.sheets.part import DrawnSheet, SheetPart, as_drawn
from permitgen.documents.sheets.violation_list import violation_group
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.diagram.sketch import Sketch
    from permitgen.views.one_line import Unit
    from permitgen.views.plan_grounding import GroundingDetails

NUMBER = "E-501"
_TITLE_MM = 9.0


def grounding_part(details: GroundingDetails, room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return the diagrams, each in the form that fits the room, and the tables beside them; nothing where there is nothing to bond."""
    bonding = _figures("1", "Grounding and bonding", details.bonding, room, 1)
    shutdown = _figures("2", details.shutdown_title, details.shutdown, room, len(bonding) + 1)
    figures = [*bonding, *shutdown]
    if not figures:
        return SheetPart(NUMBER)
    units = [unit for root in (*details.bonding, *details.shutdown) for unit in root.walk()]
    drawn = as_drawn(_drawn(title, sketch, room, marks) for title, sketch in figures)
    listed = violation_group(marks, faults_of_diagram(units, marks), NUMBER)
    # A detail that is on one sheet names none, so it may stand beside what is left of the other.
    part_ways = len(figures) if len(shutdown) > 1 else len(bonding)
    return SheetPart(NUMBER, drawn, [listed, *_beside(details)], details.title, part_ways=part_ways)


def _figures(number: str, title: str, roots: Sequence[Unit], room: Box, first: int) -> list[tuple[str, Sketch]]:
    """Return the drawings of one detail with their titles; where it goes on, it is from the ``first`` sheet of the subject."""
    if not roots:
        return []
    sketches = fit(roots, Area(room.width, room.height - _TITLE_MM), NUMBER, f"{NUMBER}-{{}}", first=first, with_air=False)
    return [
        (f"{number}  {title.upper()}" if part == 0 else f"{number}  {title.upper()}, CONTINUED", sketch)
        for part, sketch in enumerate(sketches)
    ]


def _drawn(title: str, sketch: Sketch, room: Box, marks: SheetMarks) -> DrawnSheet:
    """Return a figure below its title, at the top left of a sheet."""
    box = sketch.box
    drawn = items_drawn(sketch.flattened(room.left - box.left, room.top + _TITLE_MM - box.top), room, marks)
    words = Text(room.left, room.top + 1.0 + LETTERING.heading.cap_height_mm, title, LETTERING.heading)
    above = Box(room.left, room.top, room.left + text_width(title, LETTERING.heading), room.top + _TITLE_MM)
    return replace(drawn, shapes=[words, *drawn.shapes], taken=[above, *drawn.taken])


def _beside(details: GroundingDetails) -> list[list[Block]]:
    """Return the tables, the most wanted first."""
    found: list[list[Block]] = []
    if details.neutral_rows:
        found.append([Heading("Where the neutral is bonded"), schedule(("MODE", "NEUTRAL OF", "BONDED AT"), details.neutral_rows)])
    if details.shutdown_notes:
        found.append([Heading("Rapid shutdown"), Notes(details.shutdown_notes)])
    return found
