"""A-401: the space around storage units at large scale."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from permitgen.documents.canvas.bounds import Box, box_of_points
from permitgen.documents.canvas.colors import LIGHT_GRAY, WHITE
from permitgen.documents.canvas.figures import circle, hatching, polygon, rectangle
from permitgen.documents.canvas.shapes import Group, Shape
from permitgen.documents.canvas.styles import FINE, MEDIUM, MM_PER_INCH, SHORT_DASH, THIN, WIDE, Pen
from permitgen.documents.plan_drawing.dimensions import dimension, dimension_outside
from permitgen.documents.plan_drawing.labels import LabelRoom
from permitgen.documents.plan_drawing.marks import KEY_HEIGHT_MM, drawing_key
from permitgen.documents.plan_drawing.scales import ELEVATION_SCALES, LARGE_SCALES, Lay, Margins, extent_of, largest_lay, upright_turn
from permitgen.documents.plan_drawing.site_drawing import LARGE, middle_of, name_buildings, name_points, on_sheet, site_shapes
from permitgen.documents.plan_drawing.site_shapes import mark_plan
from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.part import DrawnSheet, SheetPart, taken_by
from permitgen.documents.sheets.violation_list import violation_group
from permitgen.views.plans.parts import PlanEquipment, Point
from permitgen.views.plans.storage import StoragePlan
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks
from permitgen.views.site_geometry import NamedPoint

NUMBER = "A-401"
_MARGINS = Margins(14.0, 10.0, 20.0, 8.0)
_SPACE_PEN = Pen(FINE.width_mm, dash_mm=SHORT_DASH)


def storage_plan_part(view: StoragePlan, room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return the plan around the storage units with what the rules say; nothing where there is no storage."""
    if not view.has_storage:
        return SheetPart(NUMBER)
    forms: list[Callable[[], DrawnSheet]] = []
    if view.around:
        turn_deg = upright_turn(view.site.north_deg)
        plan_room = Box(room.left, room.top, room.right, room.bottom - KEY_HEIGHT_MM)
        # The whole room first; where that spares a sheet, only the part around the units.
        for shown, scales in ((view.around, LARGE_SCALES), (view.close, LARGE_SCALES)):
            lays = [largest_lay(extent_of(shown, turn_deg), plan_room, [scale], _MARGINS, turn_deg) for scale in scales]
            forms += [partial(_plan, view, lay, shown, room, marks) for lay in lays if lay is not None]
        if not forms:
            lay = largest_lay(extent_of(view.close, turn_deg), plan_room, ELEVATION_SCALES, _MARGINS, turn_deg)
            forms += [partial(_plan, view, lay, view.close, room, marks)] if lay is not None else []
    listed = violation_group(marks, marks.violations.in_or_at(item.tag for item in (*view.units, *view.others)), NUMBER)
    return SheetPart(NUMBER, [forms] if forms else (), [listed, *_beside(view, drawn=bool(forms))])


def _plan(view: StoragePlan, lay: Lay, shown: Sequence[Point], room: Box, marks: SheetMarks) -> DrawnSheet:
    window = lay.box(extent_of(shown, lay.turn_deg))
    bottom = min(room.bottom - KEY_HEIGHT_MM, window.bottom + _MARGINS.bottom)
    space = LabelRoom(Box(room.left, room.top, window.right + _MARGINS.right, bottom))
    edge = rectangle(window.left, window.top, window.width, window.height)
    shapes: list[Shape] = [Group(tuple(site_shapes(view.site, lay, window, LARGE, space)), clip=edge)]
    others = [item for item in view.others if _within(item.at, lay, window)]
    shapes += _zones(view, lay, space)
    shapes += [shape for item in others for shape in _equipment(item, lay, space, is_storage=False)]
    shapes += [shape for item in view.units for shape in _equipment(item, lay, space, is_storage=True)]
    points = [point for point in view.site.points if _within(point.at, lay, window)]
    for measure in view.dimensions:
        if not _within(measure.end, lay, window):
            continue
        if measure.away_from is None:
            dimension(space, lay.at(measure.start), lay.at(measure.end), measure.words)
        else:
            dimension_outside(space, lay.at(measure.start), lay.at(measure.end), measure.words, lay.at(measure.away_from), off_mm=5.0)
    _names(replace(view, others=tuple(others)), points, lay, space, window)
    mark_plan([*view.units, *others], (), marks, lay, space)
    key, _ = drawing_key(window.left, bottom + 1.0, "Storage plan", lay, north_deg=view.site.north_deg)
    shapes += space.drawn
    return DrawnSheet([*shapes, *key], [*taken_by(shapes), *taken_by(key)], lay.scale.name)


def _zones(view: StoragePlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = []
    for zone in view.zones:
        outline = on_sheet(lay, zone.outline)
        shapes += [*hatching(outline, pen=FINE, spacing=MM_PER_INCH / 8), polygon(outline, pen=_SPACE_PEN)]
        space.take_outline(outline, 0.5)
    return shapes


def _equipment(item: PlanEquipment, lay: Lay, space: LabelRoom, *, is_storage: bool) -> list[Shape]:
    if not item.outline:
        x, y = lay.at(item.at)
        space.boxes.append(Box(x - 1.2, y - 1.2, x + 1.2, y + 1.2))
        return [circle(x, y, 1.0, pen=MEDIUM, fill=WHITE)]
    outline = on_sheet(lay, item.outline)
    space.take_outline(outline, 1.5)
    return [polygon(outline, pen=WIDE if is_storage else THIN, fill=LIGHT_GRAY if is_storage else WHITE)]


def _within(point: Point, lay: Lay, window: Box) -> bool:
    return window.contains(Box(*lay.at(point), *lay.at(point)))


def _names(view: StoragePlan, points: Sequence[NamedPoint], lay: Lay, space: LabelRoom, window: Box) -> None:
    for item in view.units:
        space.label(middle_of(on_sheet(lay, item.outline or (item.at,))), (item.tag, *item.words), style=LETTERING.strong, disc=item.step)
    for item in view.others:
        space.label(middle_of(on_sheet(lay, item.outline or (item.at,))), (item.tag,), disc=item.step)
    name_points(points, lay, LARGE, space)
    for zone in view.zones:
        outline = on_sheet(lay, zone.outline)
        area = box_of_points(outline)
        space.label(middle_of(outline), zone.words, within=area)
    name_buildings(view.site, lay, window, LARGE, space)


def _beside(view: StoragePlan, *, drawn: bool) -> list[list[Block]]:
    blocks: list[list[Block]] = []
    if view.missing:
        blocks.append([Heading("Not shown"), Paragraph("Not drawn because not in the project file: " + "; ".join(view.missing) + ".")])
    blocks.append([Heading("Siting"), schedule(("UNIT", "PROVIDED / REQUIRED", "SECTION"), view.rows)])
    blocks.append([Heading("Storage units"), schedule(("TAG", "NAME", "ENERGY", "CHEMISTRY", "W x H x D"), view.unit_rows)])
    if drawn:
        blocks.append([Heading("Notes on the storage plan"), Notes(view.notes)])
    return blocks
