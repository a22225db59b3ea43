"""A-201: walls with equipment to scale, several to a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.colors import WHITE
from permitgen.documents.canvas.figures import hatching, rectangle
from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import EXTRA_WIDE, FINE, MEDIUM, SHORT_DASH, THIN, WIDE, Pen
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.plan_drawing.dimensions import dimension, dimension_outside
from permitgen.documents.plan_drawing.labels import WITHIN, Clear, LabelRoom
from permitgen.documents.plan_drawing.marks import scale_bar
from permitgen.documents.plan_drawing.scales import ELEVATION_SCALES, LARGE_SCALES, Lay, Scale
from permitgen.documents.plan_drawing.site_shapes import cloud_changes, cloud_faults
from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.part import DrawnSheet, SheetPart, as_drawn, taken_by
from permitgen.documents.sheets.violation_list import violation_group
from permitgen.views.plans.elevations import Elevation, ElevationItem, Elevations, WorkingSpace
from permitgen.views.plans.parts import PlanDimension
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks

NUMBER = "A-201"
_SPACE_PEN = Pen(THIN.width_mm, dash_mm=SHORT_DASH)
_UNSURE_PEN = Pen(MEDIUM.width_mm, dash_mm=SHORT_DASH)
_OPENING_PEN = Pen(FINE.width_mm, dash_mm=(4.0, 1.0, 1.0, 1.0))
_OPENING_FT = 6.5
"""How high openings are drawn, whose heights the project does not state."""
_ENCLOSURE = 10.0
"""How much an enclosure weighs that a label would cover: more than any way to a place beside it."""
_MARGINS_MM = tuple((side, above) for above in (16.0, 24.0, 32.0) for side in (16.0, 28.0, 40.0))
"""Room beside and above a wall, the least first: of these the first in which all that is said of the wall finds its place."""
_BELOW_MM = 34.0
_GAP_MM = 6.0
_BAR_MM = 32.0
"""Where the graphic scale begins, right of the scale in words."""


def elevations_part(view: Elevations, room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return the elevations at the largest scale at which they fit one sheet, else the smallest over several; with the limits judged."""
    if not view.walls and not view.missing:
        return SheetPart(NUMBER)
    scale, pages = _dealt(view.walls, room)
    sheets = [_sheet([wall], scale, marks) for page in pages for wall in page]
    listed = violation_group(marks, marks.violations.in_or_at(item.tag for wall in view.walls for item in wall.items), NUMBER)
    return SheetPart(NUMBER, as_drawn(sheets), [listed, *_beside(view)])


Placed = tuple[Elevation, float, float]


def _dealt(walls: Sequence[Elevation], room: Box) -> tuple[Scale, list[list[Placed]]]:
    """Return the scale and the walls of each sheet, with the left and top of each."""
    for scale in ELEVATION_SCALES:
        if not all(_fits(wall, scale, room) for wall in walls):
            continue
        pages = _shelves(walls, scale, room)
        # Rather a second sheet than lettering as large as what it names.
        if len(pages) <= 1 or scale is LARGE_SCALES[-1] or scale.mm_per_ft < LARGE_SCALES[-1].mm_per_ft:
            return scale, pages
    return ELEVATION_SCALES[-1], []


def _fits(wall: Elevation, scale: Scale, room: Box) -> bool:
    return _width(wall, scale) <= room.width and _height(wall, scale) <= room.height


def _width(wall: Elevation, scale: Scale) -> float:
    return _bare_width(wall, scale) + 2 * _margins(wall, scale)[0]


def _bare_width(wall: Elevation, scale: Scale) -> float:
    key = _BAR_MM + scale.bar_ft[-1] * scale.mm_per_ft + 6.0
    return max((wall.right - wall.left) * scale.mm_per_ft, text_width(wall.title.upper(), LETTERING.heading), key)


def _height(wall: Elevation, scale: Scale) -> float:
    return wall.top * scale.mm_per_ft + _margins(wall, scale)[1] + _BELOW_MM


@lru_cache(maxsize=256)
def _margins(wall: Elevation, scale: Scale) -> tuple[float, float]:
    """Return the least margins with which everything said of the wall finds its place, and none covers an enclosure; else the largest."""
    for side, above in _MARGINS_MM:
        box = Box(0.0, 0.0, _bare_width(wall, scale) + 2 * side, wall.top * scale.mm_per_ft + above + _BELOW_MM)
        if _drawn(wall, scale, box, side).is_legible:
            break
    return side, above


def _shelves(walls: Sequence[Elevation], scale: Scale, room: Box) -> list[list[Placed]]:
    pages: list[list[Placed]] = []
    x, y, tallest = room.right + 1.0, room.bottom, 0.0
    for wall in walls:
        width, height = _width(wall, scale), _height(wall, scale)
        if x + width > room.right:
            x, y, tallest = room.left, y + tallest + _GAP_MM, 0.0
        if not pages or y + height > room.bottom:
            pages.append([])
            x, y, tallest = room.left, room.top, 0.0
        pages[-1].append((wall, x, y))
        x, tallest = x + width + _GAP_MM, max(tallest, height)
    return pages


def _sheet(page: Sequence[Placed], scale: Scale, marks: SheetMarks) -> DrawnSheet:
    shapes: list[Shape] = []
    taken: list[Box] = []
    for wall, x, y in page:
        box = Box(x, y, x + _width(wall, scale), y + _height(wall, scale))
        drawn = _wall(wall, scale, box, marks)
        shapes += drawn
        taken += taken_by(drawn)
    return DrawnSheet(shapes, taken, scale.name)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A wall without its title; ``is_legible`` where all that is said of it is there and covers no enclosure."""

    lay: Lay
    space: LabelRoom
    shapes: list[Shape]
    is_legible: bool


def _wall(wall: Elevation, scale: Scale, box: Box, marks: SheetMarks) -> list[Shape]:
    side, _ = _margins(wall, scale)
    drawn = _drawn(wall, scale, box, side)
    shown = [(item, item.words[0], _box(item, drawn.lay)) for item in wall.items]
    cloud_changes([(name, box) for item, name, box in shown if item.tag in marks.clouds.elevations], marks.clouds.mark, drawn.space)
    cloud_faults([(name, box, marks.violations.in_or_at([item.tag])) for item, name, box in shown], drawn.space)
    return [*drawn.shapes, *drawn.space.drawn, *_title(wall, drawn.lay, box.left + side, box.bottom - 19.0)]


def _drawn(wall: Elevation, scale: Scale, box: Box, side: float) -> _Drawn:
    lay = Lay(scale, box.left + side - wall.left * scale.mm_per_ft, box.bottom - _BELOW_MM)
    space = LabelRoom(Box(box.left, box.top, box.right, box.bottom - 20.0))
    shapes: list[Shape] = [*_ground(wall, lay, space), *_spaces(wall, lay, space)]
    for item in wall.items:
        shapes += _enclosure(item, lay, space)
    measured = [_dimension(measure, lay, space) for measure in wall.dimensions]
    named = list(_labels(wall, lay, space))
    return _Drawn(lay, space, shapes, all(measured) and all(named) and not space.breaks(_ENCLOSURE))


def _dimension(measure: PlanDimension, lay: Lay, space: LabelRoom) -> bool:
    start, end = lay.at(measure.start), lay.at(measure.end)
    if measure.away_from is None:
        return dimension(space, start, end, measure.words)
    return dimension_outside(space, start, end, measure.words, lay.at(measure.away_from), off_mm=8.0)


def _ground(wall: Elevation, lay: Lay, space: LabelRoom) -> list[Shape]:
    left, y = lay.at((wall.left, 0.0))
    right, _ = lay.at((wall.right, 0.0))
    shapes: list[Shape] = [Line(left - 4.0, y, right + 4.0, y, EXTRA_WIDE)]
    shapes += hatching(((left - 4.0, y), (right + 4.0, y), (right + 4.0, y + 2.0), (left - 4.0, y + 2.0)), pen=FINE, spacing=2.0)
    space.boxes.append(Box(left - 4.0, y - 0.4, right + 4.0, y + 2.2))
    for x in wall.corners:
        at, top = lay.at((x, wall.top))
        shapes.append(Line(at, top, at, y, WIDE))
        space.lines.append(((at, top, at, y), 1.5))
    for opening in wall.openings:
        half = opening.width / 2 if opening.width is not None else 0.0
        for x in dict.fromkeys((opening.middle - half, opening.middle + half)):
            at, top = lay.at((x, _OPENING_FT))
            shapes.append(Line(at, top, at, y, _OPENING_PEN))
            space.lines.append(((at, top, at, y), 0.5))
    return shapes


def _spaces(wall: Elevation, lay: Lay, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = []
    for item in wall.items:
        if item.space is not None:
            left, top = lay.at((item.space.left, item.space.height))
            width, height = lay.mm(item.space.width), lay.mm(item.space.height)
            shapes.append(rectangle(left, top, width, height, pen=_SPACE_PEN))
            space.take_outline(((left, top), (left + width, top), (left + width, top + height), (left, top + height)), 0.8)
    return shapes


def _enclosure(item: ElevationItem, lay: Lay, space: LabelRoom) -> list[Shape]:
    left, top = lay.at((item.left, item.bottom + item.height))
    width, height = lay.mm(item.width), lay.mm(item.height)
    pen = _UNSURE_PEN if not item.is_height_stated else (THIN if item.is_existing else WIDE)
    shapes: list[Shape] = [rectangle(left, top, width, height, pen=pen, fill=WHITE)]
    space.take_outline(((left, top), (left + width, top), (left + width, top + height), (left, top + height)), _ENCLOSURE)
    space.areas.append((Box(left, top, left + width, top + height), _ENCLOSURE))
    if item.grip is not None:
        x, y = left + width / 2, lay.at((0.0, item.grip))[1]
        shapes += [Line(x - 1.4, y, x + 1.4, y, MEDIUM), Line(x, y - 1.4, x, y + 1.4, MEDIUM)]
        space.boxes.append(Box(x - 1.5, y - 1.5, x + 1.5, y + 1.5))
    return shapes


def _box(item: ElevationItem, lay: Lay) -> Box:
    left, top = lay.at((item.left, item.bottom + item.height))
    return Box(left, top, left + lay.mm(item.width), top + lay.mm(item.height))


def _labels(wall: Elevation, lay: Lay, space: LabelRoom) -> Iterator[bool]:
    """Place what is said of a wall; yields for each whether it found room."""
    for item in wall.items:
        x, y = lay.at((item.left + item.width / 2, item.bottom + item.height * 0.2))
        if space.label((x, y), item.words, style=LETTERING.strong, disc=item.step, within=_box(item, lay), clear=WITHIN):
            continue
        tall = lay.mm(item.height) > 12.0 and lay.mm(item.width) > 9.0
        anchor = (x, y) if tall else lay.at((item.left + item.width, item.bottom))
        # A leader that runs through another enclosure ends, to the eye, at that one.
        others = Clear(no_leader=[_box(other, lay).grown(0.5) for other in wall.items if other is not item])
        yield any(space.label(anchor, item.words, style=LETTERING.strong, disc=item.step, clear=clear) for clear in (others, None))
    for words, of in _said_once([item.space for item in wall.items if item.space is not None]).items():
        lines = (*words[:-1], f"{words[-1]}, EACH") if len(of) > 1 else words
        anchors = [lay.at((each.left + each.width / 2, each.height)) for each in of]
        yield any(space.label(anchor, lines, toward=(0.0, 1.0)) for anchor in anchors)
    for opening in wall.openings:
        yield space.label(lay.at((opening.middle, _OPENING_FT)), (opening.words,), toward=(0.0, 1.0))


def _said_once(spaces: Sequence[WorkingSpace]) -> dict[tuple[str, ...], list[WorkingSpace]]:
    """Return the working spaces of a wall by what is said of them."""
    by_words: dict[tuple[str, ...], list[WorkingSpace]] = {}
    for each in spaces:
        by_words.setdefault(each.words, []).append(each)
    return by_words


def _title(wall: Elevation, lay: Lay, left: float, y: float) -> list[Shape]:
    """Name, scale in words and graphic scale below the wall."""
    title = wall.title.upper()
    ground, floor = lay.at((wall.right, 0.0))
    return [
        Text(left, y + LETTERING.heading.cap_height_mm, title, LETTERING.heading),
        Text(left, y + 9.0, f"SCALE: {lay.scale.name}", LETTERING.text),
        *scale_bar(left + _BAR_MM, y + 9.0, lay),
        Text(ground + 5.0, floor + LETTERING.text.cap_height_mm / 2, wall.ground, LETTERING.text),
    ]


def _beside(view: Elevations) -> list[list[Block]]:
    blocks: list[list[Block]] = []
    if view.missing:
        blocks.append([Heading("Not shown"), Paragraph("Not stated in the project file: " + "; ".join(view.missing) + ".")])
    if view.limits:
        blocks.append([Heading("Working space and heights"), schedule(("TAG", "PROVIDED / REQUIRED", "SECTION"), view.limits)])
    if view.walls:
        blocks.append([Heading("Notes on the elevations"), Notes(view.notes)])
    return blocks
