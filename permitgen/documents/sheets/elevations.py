"""A-201: walls with equipment to scale, several to a sheet."""

from __future__ import annotations

from collections.abc import Sequence

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.colors import WHITE
from permitgen.documents.canvas.figures import hatching, rectangle
from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import EXTRA_WIDE, FINE, MEDIUM, SHORT_DASH, THIN, WIDE, Pen
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.plan_drawing.beside import DrawnSheet, drawings_of, taken_by
from permitgen.documents.plan_drawing.dimensions import dimension, dimension_outside
from permitgen.documents.plan_drawing.labels import LabelRoom
from permitgen.documents.plan_drawing.marks import scale_bar
from permitgen.documents.plan_drawing.scales import ELEVATION_SCALES, LARGE_SCALES, Lay, Scale
from permitgen.documents.plan_drawing.site_shapes import cloud_changes
from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.sheet import Drawing
from permitgen.views.plans.elevations import Elevation, ElevationItem, Elevations
from permitgen.views.revision_clouds import NO_CLOUDS, RevisionClouds

NUMBER = "A-201"
_SPACE_PEN = Pen(THIN.width_mm, dash_mm=SHORT_DASH)
_UNSURE_PEN = Pen(MEDIUM.width_mm, dash_mm=SHORT_DASH)
_OPENING_PEN = Pen(FINE.width_mm, dash_mm=(4.0, 1.0, 1.0, 1.0))
_OPENING_FT = 6.5
"""How high openings are drawn, whose heights the project does not state."""
_SIDE_MM = 16.0
_ABOVE_MM = 16.0
_BELOW_MM = 34.0
_GAP_MM = 6.0
_BAR_MM = 32.0
"""Where the graphic scale begins, right of the scale in words."""


def elevation_drawings(view: Elevations, room: Box, clouds: RevisionClouds = NO_CLOUDS) -> tuple[Drawing, ...]:
    """Return the elevations at the largest scale at which they fit one sheet, else the smallest over several; with the limits judged."""
    if not view.walls and not view.missing:
        return ()
    scale, pages = _dealt(view.walls, room)
    sheets = [_sheet(page, scale, clouds) for page in pages]
    return drawings_of(NUMBER, sheets, _beside(view), room)


Placed = tuple[Elevation, float, float]


def _dealt(walls: Sequence[Elevation], room: Box) -> tuple[Scale, list[list[Placed]]]:
    """Return the scale and the walls of each sheet, with the left and top of each."""
    fitting = [scale for scale in ELEVATION_SCALES if all(_fits(wall, scale, room) for wall in walls)]
    for scale in fitting:
        pages = _shelves(walls, scale, room)
        # Rather a second sheet than lettering as large as what it names.
        if len(pages) <= 1 or scale is LARGE_SCALES[-1] or scale.mm_per_ft < LARGE_SCALES[-1].mm_per_ft:
            return scale, pages
    return ELEVATION_SCALES[-1], []


def _fits(wall: Elevation, scale: Scale, room: Box) -> bool:
    return _width(wall, scale) <= room.width and _height(wall, scale) <= room.height


def _width(wall: Elevation, scale: Scale) -> float:
    key = _BAR_MM + scale.bar_ft[-1] * scale.mm_per_ft + 6.0
    return max((wall.right - wall.left) * scale.mm_per_ft, text_width(wall.title.upper(), LETTERING.heading), key) + 2 * _SIDE_MM


def _height(wall: Elevation, scale: Scale) -> float:
    return wall.top * scale.mm_per_ft + _ABOVE_MM + _BELOW_MM


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


def _sheet(page: Sequence[Placed], scale: Scale, clouds: RevisionClouds) -> DrawnSheet:
    shapes: list[Shape] = []
    taken: list[Box] = []
    for wall, x, y in page:
        box = Box(x, y, x + _width(wall, scale), y + _height(wall, scale))
        drawn = _wall(wall, scale, box, clouds)
        shapes += drawn
        taken += taken_by(drawn)
    return DrawnSheet(shapes, taken, scale.name)


def _wall(wall: Elevation, scale: Scale, box: Box, clouds: RevisionClouds) -> list[Shape]:
    lay = Lay(scale, box.left + _SIDE_MM - wall.left * scale.mm_per_ft, box.bottom - _BELOW_MM)
    space = LabelRoom(Box(box.left, box.top, box.right, box.bottom - 20.0))
    shapes: list[Shape] = [*_ground(wall, lay, space), *_spaces(wall, lay, space)]
    for item in wall.items:
        shapes += _enclosure(item, lay, space)
    for measure in wall.dimensions:
        start, end = lay.at(measure.start), lay.at(measure.end)
        if measure.away_from is None:
            dimension(space, start, end, measure.words)
        else:
            dimension_outside(space, start, end, measure.words, lay.at(measure.away_from), off_mm=8.0)
    _labels(wall, lay, space)
    changed: list[tuple[str, Box | None]] = [(i.words[0], _box(i, lay)) for i in wall.items if i.tag in clouds.elevations]
    cloud_changes(changed, clouds.mark, space)
    return [*shapes, *space.drawn, *_title(wall, lay, box)]


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
    space.take_outline(((left, top), (left + width, top), (left + width, top + height), (left, top + height)), 1.5)
    space.areas.append((Box(left, top, left + width, top + height), 4.0))
    if item.grip is not None:
        x, y = left + width / 2, lay.at((0.0, item.grip))[1]
        shapes += [Line(x - 1.4, y, x + 1.4, y, MEDIUM), Line(x, y - 1.4, x, y + 1.4, MEDIUM)]
        space.boxes.append(Box(x - 1.5, y - 1.5, x + 1.5, y + 1.5))
    return shapes


def _box(item: ElevationItem, lay: Lay) -> Box:
    left, top = lay.at((item.left, item.bottom + item.height))
    return Box(left, top, left + lay.mm(item.width), top + lay.mm(item.height))


def _labels(wall: Elevation, lay: Lay, space: LabelRoom) -> None:
    for item in wall.items:
        x, y = lay.at((item.left + item.width / 2, item.bottom + item.height * 0.2))
        if space.label((x, y), item.words, style=LETTERING.strong, disc=item.step, within=_box(item, lay), must_lie_within=True):
            continue
        tall = lay.mm(item.height) > 12.0 and lay.mm(item.width) > 9.0
        space.label((x, y) if tall else lay.at((item.left + item.width, item.bottom)), item.words, style=LETTERING.strong, disc=item.step)
    for item in wall.items:
        if item.space is not None:
            anchor = lay.at((item.space.left + item.space.width / 2, item.space.height))
            space.label(anchor, item.space.words, toward=(0.0, 1.0))
    for opening in wall.openings:
        space.label(lay.at((opening.middle, _OPENING_FT)), (opening.words,), toward=(0.0, 1.0))


def _title(wall: Elevation, lay: Lay, box: Box) -> list[Shape]:
    """Name, scale in words and graphic scale below the wall."""
    left, y = box.left + _SIDE_MM, box.bottom - 19.0
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
        blocks.append([Heading("Notes"), Notes(view.notes)])
    return blocks
