"""C-101: the site plan to scale."""

from __future__ import annotations

import math
from collections.abc import Sequence

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.colours import LIGHT_GREY, MID_GREY, PALE_GREY, WHITE
from permitgen.documents.canvas.figures import circle, hatching, polygon
from permitgen.documents.canvas.shapes import Line, Polyline, Shape
from permitgen.documents.canvas.styles import EXTRA_WIDE, FINE, LONG_DASH, LONG_TWO_SHORT_DASH, MEDIUM, SHORT_DASH, THIN, WIDE, Pen
from permitgen.documents.plan_drawing.beside import DrawnSheet, drawings_of
from permitgen.documents.plan_drawing.dimensions import dimension, dimension_outside
from permitgen.documents.plan_drawing.labels import LabelRoom
from permitgen.documents.plan_drawing.marks import KEY_HEIGHT_MM, drawing_key
from permitgen.documents.plan_drawing.scales import SITE_SCALES, Lay, Margins, extent_of, largest_lay, points_down
from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.sheet import Drawing
from permitgen.views.plans.parts import PlanDimension, Point
from permitgen.views.plans.site import SitePlan

NUMBER = "C-101"
LOT_PEN = Pen(EXTRA_WIDE.width_mm, dash_mm=LONG_TWO_SHORT_DASH)
UNDERGROUND_PEN = Pen(MEDIUM.width_mm, dash_mm=LONG_DASH)
ROUTE_PEN = MEDIUM
CLEARANCE_PEN = Pen(FINE.width_mm, dash_mm=SHORT_DASH)
_STREET_SHOWN_FT = 12.0
_MARGINS = Margins(18.0, 14.0, 24.0, 12.0)


def site_plan_drawings(view: SitePlan, room: Box) -> tuple[Drawing, ...]:
    """Return the sheets of the site plan: the plan at the largest scale that fits, its legend and notes beside it."""
    if view.is_empty:
        sheets: list[DrawnSheet] = []
    else:
        half_turn = points_down(view.north_deg)
        plan_room = Box(room.left, room.top, room.right, room.bottom - KEY_HEIGHT_MM)
        lay = largest_lay(extent_of(_extreme_points(view), half_turn=half_turn), plan_room, SITE_SCALES, _MARGINS, half_turn=half_turn)
        sheets = [] if lay is None else [_plan(view, lay, room)]
    return drawings_of(NUMBER, sheets, _beside(view, drawn=bool(sheets)), room)


def _extreme_points(view: SitePlan) -> list[Point]:
    """Return what the plan must show: lot, buildings, equipment; of streets only the part beside the lot."""
    points = [
        *view.lot,
        *(p for b in view.buildings for p in b.outline),
        *(e.at for e in view.equipment),
        *(p for z in view.zones for p in z.outline),
    ]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    near = Box(min(xs) - 1.0, min(ys) - _STREET_SHOWN_FT, max(xs) + 1.0, max(ys) + _STREET_SHOWN_FT)
    for ground in view.grounds:
        points += [(min(max(x, near.left + 1), near.right - 1), min(max(y, near.top), near.bottom)) for x, y in ground.outline]
    return points


def _plan(view: SitePlan, lay: Lay, room: Box) -> DrawnSheet:
    extent = extent_of(_extreme_points(view), half_turn=lay.half_turn)
    window = lay.box(extent)
    space = LabelRoom(
        Box(room.left, room.top, window.right + _MARGINS.right, min(room.bottom - KEY_HEIGHT_MM, window.bottom + _MARGINS.bottom))
    )
    shapes: list[Shape] = [*_grounds(view, lay, window, space), *_lot(view, lay, space), *_buildings(view, lay, space)]
    shapes += _routes(view, lay, space)
    shapes += _equipment(view, lay, space)
    shapes += _points(view, lay, space)
    _dimensions(view, lay, space)
    _names(view, lay, space, window)
    shapes += space.shapes
    key, width = drawing_key(window.left, space.room.bottom + 1.0, "Site plan", lay, north_deg=view.north_deg)
    shapes += key
    taken = [space.room, Box(window.left, space.room.bottom, window.left + width, space.room.bottom + KEY_HEIGHT_MM)]
    return DrawnSheet(shapes, taken, lay.scale.name)


def _on_sheet(lay: Lay, outline: Sequence[Point]) -> tuple[Point, ...]:
    return tuple(lay.at(point) for point in outline)


def _grounds(view: SitePlan, lay: Lay, window: Box, space: LabelRoom) -> list[Shape]:
    """Streets and driveways, cut off at the edge of what is shown."""
    shapes: list[Shape] = []
    for ground in view.grounds:
        outline = tuple(
            (min(max(x, window.left), window.right), min(max(y, window.top), window.bottom)) for x, y in _on_sheet(lay, ground.outline)
        )
        shapes.append(polygon(outline, pen=THIN, fill=PALE_GREY))
        space.take_outline(outline, 0.3)
    return shapes


def _lot(view: SitePlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    if len(view.lot) < 3:
        return []
    outline = _on_sheet(lay, view.lot)
    space.take_outline(outline, 2.0)
    return [polygon(outline, pen=LOT_PEN)]


def _buildings(view: SitePlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = [polygon(_on_sheet(lay, building.outline), fill=WHITE) for building in view.buildings]
    for array in view.arrays:
        outline = _on_sheet(lay, array.outline)
        shapes += hatching(outline, pen=Pen(FINE.width_mm, MID_GREY), spacing=2.4)
        shapes.append(polygon(outline, pen=MEDIUM))
        space.take_outline(outline, 0.6)
    for start, end in view.ridges:
        shapes.append(Line(*lay.at(start), *lay.at(end), Pen(FINE.width_mm, dash_mm=LONG_DASH)))
    for building in view.buildings:
        outline = _on_sheet(lay, building.outline)
        shapes.append(polygon(outline, pen=WIDE))
        space.take_outline(outline, 1.5)
    return shapes


def _routes(view: SitePlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = []
    for route in view.routes:
        way = _on_sheet(lay, route.points)
        shapes.append(Polyline(way, UNDERGROUND_PEN if route.is_underground else ROUTE_PEN))
        space.take_outline(way, 1.0, closed=False)
    return shapes


def _equipment(view: SitePlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    """Each piece as its outline where its size is known, with a dot at its place."""
    shapes: list[Shape] = [polygon(_on_sheet(lay, zone.outline), pen=CLEARANCE_PEN) for zone in view.zones]
    for zone in view.zones:
        space.take_outline(_on_sheet(lay, zone.outline), 0.5)
    for item in view.equipment:
        x, y = lay.at(item.at)
        if item.outline:
            shapes.append(polygon(_on_sheet(lay, item.outline), pen=THIN if item.is_existing else WIDE, fill=LIGHT_GREY))
        else:
            shapes.append(circle(x, y, 0.8, pen=MEDIUM, fill=WHITE))
        space.boxes.append(Box(x - 0.9, y - 0.9, x + 0.9, y + 0.9))
    return shapes


def _points(view: SitePlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = []
    for point in view.points:
        x, y = lay.at(point.at)
        shapes.append(polygon(((x, y - 1.0), (x + 1.0, y), (x, y + 1.0), (x - 1.0, y)), pen=THIN, fill=WHITE))
        space.boxes.append(Box(x - 1.0, y - 1.0, x + 1.0, y + 1.0))
    return shapes


def _dimensions(view: SitePlan, lay: Lay, space: LabelRoom) -> None:
    for line in view.lot_lines:
        dimension_outside(space, lay.at(line.start), lay.at(line.end), line.words, lay.at(line.away_from or line.start))
    for setback in view.setbacks:
        dimension(space, lay.at(setback.start), lay.at(setback.end), setback.words)


def _names(view: SitePlan, lay: Lay, space: LabelRoom, window: Box) -> None:
    """Names in order of need: tags, what is met on the way, buildings, routes, streets."""
    for item in sorted(view.equipment, key=lambda item: (-item.at[1], item.at[0])):
        words = f"{item.tag} (E)" if item.is_existing else item.tag
        ahead = (item.facing[0], -item.facing[1]) if lay.half_turn is False else (-item.facing[0], item.facing[1])
        space.label(lay.at(item.at), (words,), toward=ahead, style=LETTERING.strong, disc=item.step)
    for point in view.points:
        space.label(lay.at(point.at), ((point.label or point.kind).upper(),))
    for building in view.buildings:
        _inside(space, _on_sheet(lay, building.outline), (building.label or building.key).upper(), strong=True)
    for array in view.arrays:
        _inside(space, _on_sheet(lay, array.outline), "PV ARRAY", strong=False)
    for ground in view.grounds:
        outline = tuple(
            (min(max(x, window.left), window.right), min(max(y, window.top), window.bottom)) for x, y in _on_sheet(lay, ground.outline)
        )
        _inside(space, outline, (ground.label or ground.kind).upper(), strong=True)
    for zone in view.zones:
        corner = max(_on_sheet(lay, zone.outline), key=lambda p: (p[0], -p[1]))
        space.label(corner, zone.words, toward=(1.0, -1.0))
    for route in view.routes:
        if route.is_underground:
            space.label(_longest_middle(_on_sheet(lay, route.points)), route.words)


def _inside(space: LabelRoom, outline: Sequence[Point], words: str, *, strong: bool) -> None:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    space.label(
        ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2), (words,), style=LETTERING.strong if strong else LETTERING.text, leads=False
    )


def _longest_middle(way: Sequence[Point]) -> Point:
    a, b = max(zip(way, way[1:], strict=False), key=lambda pair: math.dist(*pair))
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


def _beside(view: SitePlan, *, drawn: bool) -> list[list[Block]]:
    blocks: list[list[Block]] = []
    if view.missing or not drawn:
        words = ["Not stated in the project file and therefore not drawn: " + "; ".join(view.missing) + "."] if view.missing else []
        if not drawn and not view.is_empty:
            words.append("The plan does not fit this paper at any of the scales used. Choose a larger paper.")
        blocks.append([Heading("Not shown"), *(Paragraph(text) for text in words)])
    if view.equipment:
        rows = [(item.tag, item.step, item.name, item.place) for item in view.equipment]
        blocks.append([Heading("Equipment"), schedule(("TAG", "STEP", "NAME", "PLACE"), rows)])
    if drawn:
        blocks.append([Heading("Notes"), Notes(view.notes)])
    return blocks
