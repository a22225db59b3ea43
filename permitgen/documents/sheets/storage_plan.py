"""A-401: the space around storage units at large scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from permitgen.documents.canvas.bounds import Box, box_of_points
from permitgen.documents.canvas.colours import LIGHT_GREY, PALE_GREY, WHITE
from permitgen.documents.canvas.figures import circle, hatching, polygon, rectangle
from permitgen.documents.canvas.shapes import Group, Shape
from permitgen.documents.canvas.styles import EXTRA_WIDE, FINE, MEDIUM, SHORT_DASH, THIN, WIDE, Pen
from permitgen.documents.plan_drawing.beside import DrawnSheet, drawings_of
from permitgen.documents.plan_drawing.dimensions import dimension
from permitgen.documents.plan_drawing.labels import LabelRoom
from permitgen.documents.plan_drawing.marks import KEY_HEIGHT_MM, drawing_key
from permitgen.documents.plan_drawing.scales import ELEVATION_SCALES, LARGE_SCALES, Lay, Margins, extent_of, largest_lay, points_down
from permitgen.documents.plan_drawing.site_shapes import kept_in, name_area
from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.sheet import Drawing
from permitgen.views.plans.parts import PlanEquipment, Point
from permitgen.views.plans.storage import StoragePlan
from permitgen.views.site_geometry import NamedPoint

NUMBER = "A-401"
_MARGINS = Margins(14.0, 10.0, 20.0, 8.0)
_SPACE_PEN = Pen(FINE.width_mm, dash_mm=SHORT_DASH)


def storage_plan_drawings(view: StoragePlan, room: Box) -> tuple[Drawing, ...]:
    """Return the plan around the storage units with what the rules say; nothing where there is no storage."""
    if not view.has_storage:
        return ()
    sheets: list[DrawnSheet] = []
    if view.around:
        half_turn = points_down(view.north_deg)
        plan_room = Box(room.left, room.top, room.right, room.bottom - KEY_HEIGHT_MM)
        for shown, scales in ((view.around, LARGE_SCALES), (view.close, LARGE_SCALES), (view.close, ELEVATION_SCALES)):
            lay = largest_lay(extent_of(shown, half_turn=half_turn), plan_room, scales, _MARGINS, half_turn=half_turn)
            if lay is not None:
                sheets.append(_plan(view, lay, shown, room))
                break
    return drawings_of(NUMBER, sheets, _beside(view, drawn=bool(sheets)), room)


def _plan(view: StoragePlan, lay: Lay, shown: Sequence[Point], room: Box) -> DrawnSheet:
    window = lay.box(extent_of(shown, half_turn=lay.half_turn))
    bottom = min(room.bottom - KEY_HEIGHT_MM, window.bottom + _MARGINS.bottom)
    space = LabelRoom(Box(room.left, room.top, window.right + _MARGINS.right, bottom))
    shapes: list[Shape] = [Group(tuple(_building(view, lay, space)), clip=rectangle(window.left, window.top, window.width, window.height))]
    others = [item for item in view.others if _within(item.at, lay, window)]
    shapes += _zones(view, lay, space)
    shapes += [shape for item in others for shape in _equipment(item, lay, space, is_storage=False)]
    shapes += [shape for item in view.units for shape in _equipment(item, lay, space, is_storage=True)]
    points = [point for point in view.points if _within(point.at, lay, window)]
    shapes += _openings(points, lay, space)
    for measure in view.dimensions:
        if _within(measure.end, lay, window):
            dimension(space, lay.at(measure.start), lay.at(measure.end), measure.words)
    _names(replace(view, others=tuple(others), points=tuple(points)), lay, space, window)
    key, width = drawing_key(window.left, bottom + 1.0, "Storage plan", lay, north_deg=view.north_deg)
    taken = [space.room, Box(window.left, bottom, window.left + width, bottom + KEY_HEIGHT_MM)]
    return DrawnSheet([*shapes, *space.drawn, *key], taken, lay.scale.name)


def _on_sheet(lay: Lay, outline: Sequence[Point]) -> tuple[Point, ...]:
    return tuple(lay.at(point) for point in outline)


def _building(view: StoragePlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = [polygon(_on_sheet(lay, ground.outline), pen=THIN, fill=PALE_GREY) for ground in view.grounds]
    for building in view.buildings:
        outline = _on_sheet(lay, building.outline)
        shapes.append(polygon(outline, pen=EXTRA_WIDE, fill=WHITE))
        space.take_outline(outline, 1.5)
    return [*shapes, *(polygon(_on_sheet(lay, building.outline), pen=EXTRA_WIDE) for building in view.buildings)]


def _zones(view: StoragePlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = []
    for zone in view.zones:
        outline = _on_sheet(lay, zone.outline)
        shapes += [*hatching(outline, pen=FINE, spacing=25.4 / 8), polygon(outline, pen=_SPACE_PEN)]
        space.take_outline(outline, 0.5)
    return shapes


def _equipment(item: PlanEquipment, lay: Lay, space: LabelRoom, *, is_storage: bool) -> list[Shape]:
    if not item.outline:
        x, y = lay.at(item.at)
        space.boxes.append(Box(x - 1.2, y - 1.2, x + 1.2, y + 1.2))
        return [circle(x, y, 1.0, pen=MEDIUM, fill=WHITE)]
    outline = _on_sheet(lay, item.outline)
    space.take_outline(outline, 1.5)
    return [polygon(outline, pen=WIDE if is_storage else THIN, fill=LIGHT_GREY if is_storage else WHITE)]


def _within(point: Point, lay: Lay, window: Box) -> bool:
    return window.contains(Box(*lay.at(point), *lay.at(point)))


def _openings(points: Sequence[NamedPoint], lay: Lay, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = []
    for point in points:
        x, y = lay.at(point.at)
        shapes.append(polygon(((x, y - 1.4), (x + 1.4, y), (x, y + 1.4), (x - 1.4, y)), pen=THIN, fill=WHITE))
        space.boxes.append(Box(x - 1.4, y - 1.4, x + 1.4, y + 1.4))
    return shapes


def _names(view: StoragePlan, lay: Lay, space: LabelRoom, window: Box) -> None:
    for item in view.units:
        space.label(_middle(_on_sheet(lay, item.outline or (item.at,))), (item.tag, *item.words), style=LETTERING.strong, disc=item.step)
    for item in view.others:
        space.label(_middle(_on_sheet(lay, item.outline or (item.at,))), (item.tag,), disc=item.step)
    for point in view.points:
        space.label(lay.at(point.at), ((point.label or point.kind).upper(),))
    for zone in view.zones:
        outline = _on_sheet(lay, zone.outline)
        area = box_of_points(outline)
        space.label(_middle(outline), zone.words, within=area)
    for building in view.buildings:
        shown = kept_in(window, _on_sheet(lay, building.outline))
        if box_of_points(shown).width > 20.0:
            name_area(space, shown, building.label or building.key)


def _middle(outline: Sequence[Point]) -> Point:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def _beside(view: StoragePlan, *, drawn: bool) -> list[list[Block]]:
    blocks: list[list[Block]] = []
    if view.missing:
        blocks.append(
            [Heading("Not shown"), Paragraph("Not stated in the project file and therefore not drawn: " + "; ".join(view.missing) + ".")]
        )
    blocks.append([Heading("Siting"), schedule(("UNIT", "FOUND AND ASKED", "SECTION"), view.rows)])
    blocks.append([Heading("Storage units"), schedule(("TAG", "NAME", "ENERGY", "CHEMISTRY", "W x H x D"), view.unit_rows)])
    if drawn:
        blocks.append([Heading("Notes"), Notes(view.notes)])
    return blocks
