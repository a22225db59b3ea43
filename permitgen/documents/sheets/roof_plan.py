"""A-101: the roof plan to scale, with modules, pathways for firefighters and setbacks at ridges."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from permitgen.documents.canvas.bounds import Box, box_of_points, text_box
from permitgen.documents.canvas.colors import BLACK, MID_GRAY, WHITE
from permitgen.documents.canvas.figures import arrowhead, circle, hatching, polygon
from permitgen.documents.canvas.shapes import Group, Line, Polyline, Shape, Text
from permitgen.documents.canvas.styles import FINE, LONG_SHORT_DASH, MEDIUM, MM_PER_INCH, THIN, WIDE, Pen
from permitgen.documents.plan_drawing.dimensions import dimension, dimension_outside
from permitgen.documents.plan_drawing.labels import Clear, LabelRoom
from permitgen.documents.plan_drawing.marks import KEY_HEIGHT_MM, drawing_key
from permitgen.documents.plan_drawing.scales import BUILDING_SCALES, Lay, Margins, extent_of, lays_that_fit, upright_turn
from permitgen.documents.plan_drawing.site_drawing import middle_of, obstruction_shapes, on_sheet
from permitgen.documents.plan_drawing.site_shapes import mark_plan
from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.part import DrawnSheet, SheetPart, taken_by
from permitgen.documents.sheets.violation_list import violation_group
from permitgen.views.plans.parts import Point
from permitgen.views.plans.roof import RoofPlan
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks

NUMBER = "A-101"
_HATCH_MM = MM_PER_INCH / 8
_MARGINS = Margins(20.0, 16.0, 26.0, 22.0)
_RIDGE_PEN = Pen(WIDE.width_mm, dash_mm=LONG_SHORT_DASH)


def roof_plan_part(view: RoofPlan, room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return the roof plan at the largest scale that fits, with what the rules say beside it; nothing where no array lies on a roof."""
    if not view.has_array:
        return SheetPart(NUMBER)
    forms: list[Callable[[], DrawnSheet]] = []
    if view.planes:
        turn_deg = upright_turn(view.north_deg)
        plan_room = Box(room.left, room.top, room.right, room.bottom - KEY_HEIGHT_MM)
        lays = lays_that_fit(extent_of(_points(view), turn_deg), plan_room, BUILDING_SCALES, _MARGINS, turn_deg)
        # One scale smaller where that spares a sheet: below that modules and pathways are no longer told apart.
        forms = [partial(_plan, view, lay, room, marks) for lay in lays[:2]]
    tags = [*(item.tag for item in view.equipment), *(tag for route in view.routes for tag in route.tag.split("/"))]
    listed = violation_group(marks, marks.violations.in_or_at(tags), NUMBER)
    return SheetPart(NUMBER, [forms] if forms else (), [listed, *_beside(view, drawn=bool(forms))])


def _points(view: RoofPlan) -> list[Point]:
    return [*(p for plane in view.planes for p in plane.outline), *(p for outline in view.buildings for p in outline)]


def _plan(view: RoofPlan, lay: Lay, room: Box, marks: SheetMarks) -> DrawnSheet:
    window = lay.box(extent_of(_points(view), lay.turn_deg))
    bottom = min(room.bottom - KEY_HEIGHT_MM, window.bottom + _MARGINS.bottom)
    space = LabelRoom(Box(room.left, room.top, window.right + _MARGINS.right, bottom))
    shapes = [*_planes(view, lay, space), *_zones(view, lay, space), *_modules(view, lay, space), *_lines(view, lay)]
    shapes += obstruction_shapes(view.obstructions, lay, space)
    shapes += _roof_runs(view, lay, space, window)
    for measure in view.dimensions:
        _dimension(measure.start, measure.end, measure.words, measure.away_from, lay, space)
    _names(view, lay, space, window)
    mark_plan(view.equipment, [(route.tag, route.words[0]) for route in view.routes], marks, lay, space)
    shapes += space.drawn
    key, _ = drawing_key(window.left, bottom + 1.0, "Roof plan", lay, north_deg=view.north_deg)
    return DrawnSheet([*shapes, *key], [*taken_by(shapes), *taken_by(key)], lay.scale.name)


def _dimension(start: Point, end: Point, words: str, away_from: Point | None, lay: Lay, space: LabelRoom) -> None:
    if away_from is None:
        dimension(space, lay.at(start), lay.at(end), words)
    else:
        dimension_outside(space, lay.at(start), lay.at(end), words, lay.at(away_from))


def _planes(view: RoofPlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = []
    for plane in view.planes:
        outline = on_sheet(lay, plane.outline)
        space.take_outline(outline, 1.5)
        shapes.append(polygon(outline, pen=WIDE, fill=WHITE))
    return shapes


def _zones(view: RoofPlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    """Pathways lean one way, setbacks the other, so that they read apart in black and white."""
    shapes: list[Shape] = []
    for zone in view.zones:
        outline = on_sheet(lay, zone.outline)
        angle = 45.0 if zone.kind == "pathway" else 135.0
        shapes += hatching(outline, pen=FINE, spacing=_HATCH_MM, angle_deg=angle)
        shapes.append(polygon(outline, pen=FINE))
        space.take_outline(outline, 0.3)
    return shapes


def _modules(view: RoofPlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = []
    for plane in view.planes:
        for module in plane.modules:
            outline = on_sheet(lay, module)
            shapes.append(polygon(outline, pen=THIN, fill=WHITE))
            space.take_outline(outline, 0.5)
        for array in plane.arrays if not plane.modules else ():
            outline = on_sheet(lay, array)
            shapes += [*hatching(outline, pen=Pen(FINE.width_mm, MID_GRAY), spacing=2.4), polygon(outline, pen=MEDIUM)]
            space.take_outline(outline, 0.6)
    return shapes


def _name_circuits(view: RoofPlan, lay: Lay, space: LabelRoom) -> None:
    """Name the branch or string of each module where the module is large enough to show it: in its middle, else clear of runs over it."""
    for plane in view.planes:
        for name, module in zip(plane.circuits, plane.modules, strict=False):
            outline = on_sheet(lay, module)
            area, (x, y) = box_of_points(outline), middle_of(outline)
            places = [(x + across * area.width / 4, y + down * area.height / 4) for across, down in _IN_MODULE]
            texts = [Text(left, top + LETTERING.text.cap_height_mm / 2, name, LETTERING.text, "middle") for left, top in places]
            free = [text for text in texts if area.contains(text_box(text)) and space.is_free(text_box(text))]
            if free:
                space.take_text(min(free, key=lambda text: space.covered(text_box(text))))


_IN_MODULE = ((0, 0), (0, 1), (0, -1), (-1, 0), (1, 0), (-1, 1), (1, 1))


def _lines(view: RoofPlan, lay: Lay) -> list[Shape]:
    shapes: list[Shape] = []
    corners = {point for plane in view.planes for point in plane.outline}
    for start, end in view.ridges:
        if start in corners and end in corners:
            shapes.append(Line(*lay.at(start), *lay.at(end), _RIDGE_PEN))
    return shapes


def _roof_runs(view: RoofPlan, lay: Lay, space: LabelRoom, window: Box) -> list[Shape]:
    """Raceways over the roof; what goes on beyond it is cut off at its edge."""
    shapes: list[Shape] = []
    edge = polygon(((window.left, window.top), (window.right, window.top), (window.right, window.bottom), (window.left, window.bottom)))
    for route in view.routes:
        way = on_sheet(lay, route.points)
        shapes.append(Group((Polyline(way, MEDIUM),), clip=edge))
        space.take_outline(way, 1.0, closed=False)
    for item in view.equipment:
        x, y = lay.at(item.at)
        shapes.append(circle(x, y, 1.1, pen=MEDIUM, fill=WHITE))
        space.boxes.append(Box(x - 1.2, y - 1.2, x + 1.2, y + 1.2))
    return shapes


def _names(view: RoofPlan, lay: Lay, space: LabelRoom, window: Box) -> None:
    for item in view.equipment:
        space.label(lay.at(item.at), (item.tag,), style=LETTERING.strong)
    _name_circuits(view, lay, space)
    for thing in view.obstructions:
        space.label(middle_of(on_sheet(lay, thing.outline)), ((thing.label or thing.kind).upper(),))
    for plane in view.planes:
        area = box_of_points(on_sheet(lay, plane.outline))
        middle = ((area.left + area.right) / 2, (area.top + area.bottom) / 2)
        _fall(plane.down, middle, area, lay, space)
        modules = [box_of_points(on_sheet(lay, module)) for module in plane.modules]
        # Off the modules, if need be by its name alone: its slope stands in the table of planes, too.
        tried = ((plane.words, modules), (plane.words[:1], modules), (plane.words, ()))
        if not any(space.label(middle, w, style=LETTERING.strong, within=area, clear=Clear(off, is_within=True)) for w, off in tried):
            space.label(middle, plane.words[:1], style=LETTERING.strong, within=area)
    for zone in view.zones:
        if zone.words:
            shown = box_of_points(on_sheet(lay, zone.outline))
            space.label(((shown.left + shown.right) / 2, (shown.top + shown.bottom) / 2), zone.words, within=shown)
    _name_lines(view, lay, space, window)
    if view.street is not None:
        _street(view.street, lay, space, window)


def _name_lines(view: RoofPlan, lay: Lay, space: LabelRoom, window: Box) -> None:
    """Name ridges, hips and runs; valleys look like hips in plan."""
    for start, end in view.ridges:
        a, b = lay.at(start), lay.at(end)
        if window.grown(1.0).contains(box_of_points((a, b))):
            is_level = abs(a[1] - b[1]) < 0.5 or abs(a[0] - b[0]) < 0.5
            space.label((a[0] + (b[0] - a[0]) * 0.3, a[1] + (b[1] - a[1]) * 0.3), ("RIDGE" if is_level else "HIP OR VALLEY",))
    modules = [box_of_points(on_sheet(lay, module)) for plane in view.planes for module in plane.modules]
    for route in view.routes:
        way = [point for point in on_sheet(lay, route.points) if window.contains(Box(*point, *point))]
        if way and not any(space.label(point, route.words, clear=Clear(modules)) for point in (way[len(way) // 2], way[0], way[-1])):
            space.label(way[len(way) // 2], route.words)


def _fall(down: Point, middle: Point, area: Box, lay: Lay, space: LabelRoom) -> None:
    """An arrow down the slope, as drawings show it, beside the middle of a plane where nothing stands."""
    dx, dy = lay.direction(down)

    def placed(off: float) -> tuple[Point, Point, Box]:
        start = (middle[0] + off - dx * 5.0, middle[1] - dy * 5.0)
        tip = (middle[0] + off + dx * 5.0, middle[1] + dy * 5.0)
        return start, tip, box_of_points((start, tip)).grown(1.0)

    found = [placed(off) for off in (30.0, -30.0, 24.0, -24.0, 36.0, -36.0, 44.0, -44.0, 18.0, -18.0)]
    free = (one for one in found if area.contains(one[2]) and space.is_free(one[2]))
    start, tip, box = next(free, found[0])
    space.strokes += [Line(*start, *tip, THIN), arrowhead(tip, start, length=2.6, width=1.6, fill=BLACK)]
    space.boxes.append(box)


def _street(street: tuple[str, Point], lay: Lay, space: LabelRoom, window: Box) -> None:
    name, direction = street
    dx, dy = lay.direction(direction)
    x, y = (window.left + window.right) / 2, (window.top + window.bottom) / 2
    anchor = (x + dx * (window.width / 2 + 12.0), y + dy * (window.height / 2 + 12.0))
    space.label(anchor, (f"STREET SIDE: {name.upper()}",), toward=(dx, dy), style=LETTERING.strong, within=space.room)


def _beside(view: RoofPlan, *, drawn: bool) -> list[list[Block]]:
    blocks: list[list[Block]] = []
    if view.missing:
        blocks.append([Heading("Not shown"), Paragraph("Not drawn because not in the project file: " + "; ".join(view.missing) + ".")])
    if view.findings:
        blocks.append([Heading("Roof access"), Notes(view.findings)])
    if view.rows:
        blocks.append([Heading("Roof planes"), schedule(("PLANE", "BUILDING", "SLOPE", "FACES", "MODULES"), view.rows)])
    if view.obstruction_rows:
        headings = ("ON THE ROOF", "PLANE", "TO MODULES", "TO PATHWAY")
        blocks.append([Heading("Obstructions"), schedule(headings, view.obstruction_rows)])
    if drawn:
        blocks.append([Heading("Notes on the roof plan"), Notes(view.notes)])
    return blocks
