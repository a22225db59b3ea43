"""E-601: the one-line diagram with its modes, notes and key to lines; as many sheets as it takes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import HEAVY, THIN, WIDE, Pen
from permitgen.documents.canvas.table import Table
from permitgen.documents.diagram.clouds import diagram_clouds
from permitgen.documents.diagram.fitting import Area, fit
from permitgen.documents.diagram.manner import ARRAY_PEN, CONTROL_PEN, ELECTRODE_PEN, ENCLOSURE_PEN
from permitgen.documents.diagram.sketch import Item, Sketch
from permitgen.documents.sheets.flowing import Block, Figure, Heading, Notes, schedule
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.part import DrawnSheet, SheetPart, as_drawn
from permitgen.documents.sheets.violation_list import violation_group
from permitgen.views.one_line import OneLine, Unit
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks

NUMBER = "E-601"


def one_line_part(view: OneLine, room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return the diagram, drawn into ``room``, with what stands beside it."""
    sketches = fit(view.roots, Area(room.width, room.height), NUMBER, f"{NUMBER}-{{}}")
    sheets = [diagram_drawn(sketch, room, marks) for sketch in sketches]
    listed = violation_group(marks, faults_of_diagram(view.units(), marks), NUMBER)
    return SheetPart(NUMBER, as_drawn(sheets), [listed, *_beside(view, sketches)], part_ways=len(sketches))


def diagram_drawn(sketch: Sketch, room: Box, marks: SheetMarks) -> DrawnSheet:
    """Return a diagram with its clouds where it lies on the sheet."""
    return items_drawn(diagram_items(sketch, room), room, marks)


def items_drawn(items: Sequence[Item], room: Box, marks: SheetMarks) -> DrawnSheet:
    """Return the items of a diagram, which lie where they belong on the sheet, with their clouds."""
    around, beside, taken = diagram_clouds(items, marks, room)
    return DrawnSheet(
        [*around, *(shape for item in items for shape in item.shapes), *beside], [*(item.box for item in items), *taken], "NO SCALE"
    )


def faults_of_diagram(units: Iterable[Unit], marks: SheetMarks) -> frozenset[str]:
    """Return the numbers of the violations that units, what stands in them, or circuits between them show."""
    shown = list(units)
    leads = [way.lead for unit in shown for branch in unit.branches for way in branch.ways if way.lead is not None]
    circuits = marks.violations.at(tag for lead in leads for words in lead.tags for tag in words.split("/"))
    return frozenset((*marks.violations.in_or_at(unit.tag for unit in shown), *circuits))


def diagram_items(sketch: Sketch, room: Box) -> list[Item]:
    """Return the items of a diagram where they lie on the sheet: at the top left, or in the middle when there is much room."""
    box = sketch.box
    across = min((room.width - box.width) / 2, 12.0)
    down = min((room.height - box.height) / 2, 12.0)
    return sketch.flattened(room.left + across - box.left, room.top + down - box.top)


def _beside(view: OneLine, sketches: Sequence[Sketch]) -> list[list[Block]]:
    """Return what stands beside the diagram, the most wanted first."""
    blocks: list[list[Block]] = []
    if view.modes.rows:
        blocks.append([Heading("Operating modes"), _modes(view)])
    blocks.append([Heading("Notes on the one-line diagram"), Notes((*view.notes, *view.stated))])
    blocks.append([Heading("Lines"), _line_key(sketches)])
    return blocks


def _modes(view: OneLine) -> Table:
    """Contacts down, modes across: narrow enough to stand beside the spine."""
    headings = ["CONTACT", *(row[0] for row in view.modes.rows)]
    rows = [[contact, *(row[index] for row in view.modes.rows)] for index, contact in enumerate(view.modes.headings[1:], start=1)]
    return schedule(headings, rows)


def _line_key(sketches: Sequence[Sketch]) -> Figure:
    """Return the key to the kinds of lines that the drawing uses."""
    kinds: tuple[tuple[Pen, str], ...] = (
        (WIDE, "new conductors"),
        (THIN, "existing conductors"),
        (ELECTRODE_PEN, "GEC"),
        (HEAVY, "busbar"),
        (CONTROL_PEN, "control wiring"),
        (ENCLOSURE_PEN, "enclosure"),
        (ARRAY_PEN, "array boundary"),
    )
    used = {_pen_of(item) for sketch in sketches for item, _, _ in sketch.placed()}
    shown = [(pen, words) for pen, words in kinds if pen in used]
    style, leading = LETTERING.text, LETTERING.leading_mm
    shapes: list[Shape] = []
    for index, (pen, words) in enumerate(shown):
        y = (index + 0.5) * leading
        shapes += [Line(0.5, y, 20.5, y, pen), Text(23.5, y + style.cap_height_mm / 2, words, style)]
    return Figure(tuple(shapes), len(shown) * leading)


def _pen_of(item: Item) -> Pen | None:
    return getattr(item.shapes[0], "pen", None) if item.kind in ("wire", "bar", "boundary") else None
