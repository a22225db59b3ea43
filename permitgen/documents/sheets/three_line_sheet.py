"""E-602: the three-line diagram, every conductor drawn, where the jurisdiction asks for one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.canvas.shapes import Shape
from permitgen.documents.diagram.fitting import Area, fit
from permitgen.documents.diagram.three_line.drafting import ThreeLineDrafting
from permitgen.documents.plan_drawing.beside import DrawnSheet, drawings_of
from permitgen.documents.sheets.flowing import Heading, Notes
from permitgen.documents.sheets.one_line_sheet import diagram_items

if TYPE_CHECKING:
    from permitgen.documents.canvas.bounds import Box
    from permitgen.documents.sheets.sheet import Drawing
    from permitgen.views.one_line import OneLine

NUMBER = "E-602"
_NOTES = (
    "L1 and L2 ungrounded, N neutral, G ground; a dot is a connection, a plain crossing is not. A pole is shown in each conductor opened.",
    "The leg of a one-pole breaker follows its space; field-verify.",
    "Tags, steps and ratings are those of the one-line diagram, E-601.",
)


def three_line_drawings(view: OneLine, room: Box) -> tuple[Drawing, ...]:
    """Return the sheets of the diagram, drawn into ``room``."""
    sketches = fit(view.roots, Area(room.width, room.height), NUMBER, f"{NUMBER}-{{}}", with_air=False, drafting=ThreeLineDrafting())
    sheets = []
    for sketch in sketches:
        items = diagram_items(sketch, room)
        shapes: list[Shape] = [shape for item in items for shape in item.shapes]
        sheets.append(DrawnSheet(shapes, [item.box for item in items], "NO SCALE"))
    return drawings_of(NUMBER, sheets, [[Heading("Notes"), Notes(_NOTES)]], room)
