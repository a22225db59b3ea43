"""E-601: the one-line diagram with its modes, notes and key to lines; as many sheets as it takes."""

from __future__ import annotations

from collections.abc import Sequence

from permitgen.documents.canvas.bounds import Box, bounds
from permitgen.documents.canvas.shapes import Group, Line, Shape, Text, moved
from permitgen.documents.canvas.styles import HEAVY, THIN, WIDE, Pen
from permitgen.documents.canvas.table import Table
from permitgen.documents.diagram.clouds import diagram_clouds
from permitgen.documents.diagram.fitting import Area, fit
from permitgen.documents.diagram.manner import ARRAY_PEN, CONTROL_PEN, ELECTRODE_PEN, ENCLOSURE_PEN
from permitgen.documents.diagram.sketch import Item, Sketch
from permitgen.documents.sheets.flowing import Block, Figure, Heading, Notes, flow_over_sheets, natural_width, placed_block, schedule
from permitgen.documents.sheets.free_space import FreeSpace
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.sheet import Drawing
from permitgen.documents.sheets.title_block import SheetName
from permitgen.views.one_line import OneLine
from permitgen.views.plan_sheets import SHEETS, continued
from permitgen.views.revision_clouds import NO_CLOUDS, RevisionClouds

NUMBER = "E-601"
_WIDTHS_MM = (110.0, 90.0, 78.0, 66.0, 56.0, 48.0)


def one_line_drawings(view: OneLine, room: Box, clouds: RevisionClouds = NO_CLOUDS) -> tuple[Drawing, ...]:
    """Return the sheets of the diagram, drawn into ``room``; what finds no room beside it goes on a sheet of its own."""
    sketches = fit(view.roots, Area(room.width, room.height), NUMBER, f"{NUMBER}-{{}}")
    waiting = _beside(view, sketches)
    sheets: list[list[Shape]] = []
    for sketch in sketches:
        items = diagram_items(sketch, room)
        around, beside, taken = diagram_clouds(items, clouds, room)
        shapes = [*around, *(shape for item in items for shape in item.shapes), *beside]
        space = FreeSpace(room, [*_taken(items), *taken])
        waiting = [blocks for blocks in waiting if not _put(blocks, space, shapes)]
        sheets.append(shapes)
    left = [block for blocks in waiting for block in blocks]
    sheets.extend(list(shapes) for shapes in (flow_over_sheets(left, room, columns=2) if left else ()))
    return tuple(
        Drawing(SheetName(continued(NUMBER, index), SHEETS[NUMBER]), tuple(shapes)) for index, shapes in enumerate(sheets, start=1)
    )


def diagram_items(sketch: Sketch, room: Box) -> list[Item]:
    """Return the items of a diagram where they lie on the sheet: at the top left, or in the middle when there is much room."""
    box = sketch.box
    across = min((room.width - box.width) / 2, 12.0)
    down = min((room.height - box.height) / 2, 12.0)
    return sketch.flattened(room.left + across - box.left, room.top + down - box.top)


def _taken(items: Sequence[Item]) -> list[Box]:
    return [item.box for item in items]


def _put(blocks: Sequence[Block], space: FreeSpace, shapes: list[Shape]) -> bool:
    """Place blocks beside the diagram in the widest form that fits; say whether they found room."""
    for wanted in _WIDTHS_MM:
        width = wanted
        tables = [natural_width(block) for block in blocks if isinstance(block, Table)]
        if tables:
            width = max(tables)
        drawn, _, height = placed_block(blocks, width)
        reach = bounds(drawn)
        found = space.find(max(width, reach.right if reach else width), height)
        if found is not None:
            x, y = found
            shapes.append(Group(drawn, transform=moved(x, y)))
            space.take(Box(x, y, x + width, y + height).grown(2.0))
            return True
    return False


def _beside(view: OneLine, sketches: Sequence[Sketch]) -> list[list[Block]]:
    """Return what stands beside the diagram, the most wanted first."""
    blocks: list[list[Block]] = []
    if view.modes.rows:
        blocks.append([Heading("Operating modes"), _modes(view)])
    blocks.append([Heading("Notes"), Notes(view.notes)])
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
        shapes += [Line(0.0, y, 20.0, y, pen), Text(23.0, y + style.cap_height_mm / 2, words, style)]
    return Figure(tuple(shapes), len(shown) * leading)


def _pen_of(item: Item) -> Pen | None:
    return getattr(item.shapes[0], "pen", None) if item.kind in ("wire", "bar", "boundary") else None
