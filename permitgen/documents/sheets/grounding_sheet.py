"""E-501: the grounding and bonding diagram, the circuits of the arrays with rapid shutdown, and the tables to both."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.fitting import Area, fit
from permitgen.documents.plan_drawing.beside import DrawnSheet, drawings_of
from permitgen.documents.sheets.flowing import Block, Heading, Notes, schedule
from permitgen.documents.sheets.free_space import FreeSpace
from permitgen.documents.sheets.lettering import LETTERING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.diagram.sketch import Sketch
    from permitgen.documents.sheets.sheet import Drawing
    from permitgen.views.one_line import Unit
    from permitgen.views.plan_grounding import GroundingDetails

NUMBER = "E-501"
_TITLE_MM = 9.0


def grounding_drawings(details: GroundingDetails, room: Box) -> tuple[Drawing, ...]:
    """Return the sheets: diagrams one below the other while they fit, tables beside them; none where there is nothing to bond."""
    figures = [
        *_figures("1", "Grounding and bonding", details.bonding, room),
        *_figures("2", details.shutdown_title, details.shutdown, room),
    ]
    if not figures:
        return ()
    return drawings_of(NUMBER, _sheets(figures, room), _beside(details), room, title=details.title)


def _figures(number: str, title: str, roots: Sequence[Unit], room: Box) -> list[tuple[str, Sketch]]:
    """Return the drawings of one detail with their titles."""
    if not roots:
        return []
    sketches = fit(roots, Area(room.width, room.height - _TITLE_MM), NUMBER, f"{NUMBER}-{{}}", with_air=False)
    return [
        (f"{number}  {title.upper()}" if part == 0 else f"{number}  {title.upper()}, CONTINUED", sketch)
        for part, sketch in enumerate(sketches)
    ]


def _sheets(figures: Sequence[tuple[str, Sketch]], room: Box) -> list[DrawnSheet]:
    """Place each figure in the free room of the sheets begun so far; one that finds none begins a sheet at its top left."""
    sheets: list[DrawnSheet] = []
    for title, sketch in figures:
        box = sketch.box
        width, height = max(box.width, _title_width(title)), _TITLE_MM + box.height
        for sheet in sheets:
            place = FreeSpace(room, sheet.taken).find(width, height)
            if place is not None:
                _put(sheet, title, sketch, place)
                break
        else:
            sheets.append(DrawnSheet([], [], "NO SCALE"))
            _put(sheets[-1], title, sketch, (room.left, room.top))
    return sheets


def _title_width(title: str) -> float:
    return text_width(title, LETTERING.heading)


def _put(sheet: DrawnSheet, title: str, sketch: Sketch, place: tuple[float, float]) -> None:
    x, y = place
    box = sketch.box
    items = sketch.flattened(x - box.left, y + _TITLE_MM - box.top)
    sheet.shapes.append(Text(x, y + 1.0 + LETTERING.heading.cap_height_mm, title, LETTERING.heading))
    sheet.shapes.extend(shape for item in items for shape in item.shapes)
    sheet.taken.extend(item.box for item in items)
    sheet.taken.append(Box(x, y, x + _title_width(title), y + _TITLE_MM))


def _beside(details: GroundingDetails) -> list[list[Block]]:
    """Return the tables, the most wanted first."""
    found: list[list[Block]] = []
    if details.neutral_rows:
        found.append([Heading("Where the neutral is bonded"), schedule(("MODE", "NEUTRAL OF", "BONDED AT"), details.neutral_rows)])
    if details.shutdown_notes:
        found.append([Heading("Rapid shutdown"), Notes(details.shutdown_notes)])
    headings = ("TAG", "FINDING", "NUMBERS", "SECTION")
    if details.bonding_rows:
        found.append([Heading("Grounding and bonding, checked"), schedule(headings, details.bonding_rows)])
    if details.shutdown_rows:
        found.append([Heading("Rapid shutdown, checked"), schedule(headings, details.shutdown_rows)])
    return found
