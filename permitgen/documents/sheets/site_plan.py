"""C-101: the site plan to scale, and the part with the equipment enlarged."""

from __future__ import annotations

from dataclasses import replace

from permitgen.documents.canvas.bounds import Box, box_of_points
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.shapes import Group, Shape
from permitgen.documents.plan_drawing.dimensions import dimension, dimension_outside
from permitgen.documents.plan_drawing.labels import Clear, LabelRoom
from permitgen.documents.plan_drawing.marks import KEY_HEIGHT_MM, drawing_key
from permitgen.documents.plan_drawing.scales import BUILDING_SCALES, SITE_SCALES, Lay, Margins, extent_of, largest_lay, upright_turn
from permitgen.documents.plan_drawing.site_drawing import (
    FULL,
    LOT_WEIGHT,
    kept_in,
    name_arrays,
    name_buildings,
    name_grounds,
    name_points,
    on_sheet,
    site_shapes,
)
from permitgen.documents.plan_drawing.site_shapes import (
    CLEARANCE_PEN,
    equipment_shapes,
    hatched_shapes,
    mark_plan,
    middle_of_longest,
    name_equipment,
    name_zones,
    route_shapes,
    zone_shapes,
)
from permitgen.documents.plan_drawing.vicinity_drawing import vicinity_shapes
from permitgen.documents.sheets.flowing import Block, Figure, Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.part import DrawnSheet, SheetPart, as_drawn, taken_by
from permitgen.documents.sheets.violation_list import violation_group
from permitgen.views.plans.parts import PlanRoute, Point
from permitgen.views.plans.site import SitePlan
from permitgen.views.sheet_marks import NO_MARKS, SheetMarks
from permitgen.views.site_geometry import SiteGeometry

NUMBER = "C-101"
_STREET_SHOWN_FT = 12.0
_MARGINS = Margins(18.0, 14.0, 18.0, 10.0)
_CLOSE_MARGINS = Margins(20.0, 8.0, 20.0, 8.0)
_SMALL_SCALES = 3
"""An enlarged plan beside the site plan is no smaller than the third of the architect's scales, 1/8 in = 1 ft."""


def site_plan_part(view: SitePlan, room: Box, marks: SheetMarks = NO_MARKS) -> SheetPart:
    """Return what the site plan puts on sheets: the plan at the largest scale that fits, its enlarged part, legend and notes."""
    sheets: list[DrawnSheet] = []
    turn_deg = upright_turn(view.site.north_deg)
    if not view.is_empty:
        plan_room = Box(room.left, room.top, room.right, room.bottom - KEY_HEIGHT_MM)
        lay = largest_lay(extent_of(_extreme_points(view), turn_deg), plan_room, SITE_SCALES, _MARGINS, turn_deg)
        if lay is not None:
            sheets.append(_plan(view, lay, room, marks))
    if sheets and view.close:
        _add_enlarged(view, sheets, room, turn_deg, marks)
    tags = [*(item.tag for item in view.equipment), *(tag for route in view.routes for tag in route.tag.split("/"))]
    listed = violation_group(marks, marks.violations.in_or_at(tags), NUMBER)
    return SheetPart(NUMBER, as_drawn(sheets), [listed, *_beside(view, drawn=bool(sheets))])


def _extreme_points(view: SitePlan) -> list[Point]:
    """Return what the plan must show: lot, buildings, equipment; of streets only the part beside the lot."""
    points = [*view.site.lot, *(e.at for e in view.equipment), *(p for z in view.zones for p in z.outline)]
    points += [p for b in view.site.buildings for p in b.outline]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    near = Box(min(xs) - 1.0, min(ys) - _STREET_SHOWN_FT, max(xs) + 1.0, max(ys) + _STREET_SHOWN_FT)
    for ground in view.site.grounds:
        points += [(min(max(x, near.left + 1), near.right - 1), min(max(y, near.top), near.bottom)) for x, y in ground.outline]
    return points


def _plan(view: SitePlan, lay: Lay, room: Box, marks: SheetMarks) -> DrawnSheet:
    window = lay.box(extent_of(_extreme_points(view), lay.turn_deg))
    bottom = min(room.bottom - KEY_HEIGHT_MM, window.bottom + _MARGINS.bottom)
    space = LabelRoom(Box(room.left, room.top, window.right + _MARGINS.right, bottom))
    shapes = site_shapes(view.site, lay, window, FULL, space)
    shapes += route_shapes(view.routes, lay, space)
    shapes += zone_shapes(view.zones, lay, space)
    shapes += equipment_shapes(view.equipment, lay, space)
    for line in view.lot_lines:
        dimension_outside(space, lay.at(line.start), lay.at(line.end), line.words, lay.at(line.away_from or line.start))
    for setback in view.setbacks:
        dimension(space, lay.at(setback.start), lay.at(setback.end), setback.words)
    shapes += _enlarged_mark(view, lay, space)
    _names(view, lay, space, window)
    outside = [item for item in view.equipment if item.tag not in view.close_tags]
    mark_plan(outside, (), marks, lay, space)
    key, _ = drawing_key(window.left, bottom + 1.0, "Site plan", lay, north_deg=view.site.north_deg)
    shapes += space.drawn
    return DrawnSheet([*shapes, *key], [*taken_by(shapes), *taken_by(key)], lay.scale.name)


def _enlarged_mark(view: SitePlan, lay: Lay, space: LabelRoom) -> list[Shape]:
    """A dashed box around what the enlarged plan shows."""
    if not view.close:
        return []
    box = lay.box(extent_of(view.close, lay.turn_deg))
    corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
    space.take_outline(corners, 0.5)
    # Beside the corner where it breaks no lot line; on a lot that is too narrow for that, where it stands best.
    beside = (
        ((box.right, box.bottom), (1.0, 1.0)),
        ((box.left, box.bottom), (-1.0, 1.0)),
        ((box.right, box.top), (1.0, -1.0)),
        ((box.left, box.top), (-1.0, -1.0)),
    )
    if not any(space.label(corner, ("EQUIPMENT PLAN",), toward=toward, clear=Clear(lines=LOT_WEIGHT)) for corner, toward in beside):
        space.label((box.right, box.bottom), ("EQUIPMENT PLAN",), toward=(1.0, 1.0))
    return [rectangle(box.left, box.top, box.width, box.height, pen=CLEARANCE_PEN)]


def _names(view: SitePlan, lay: Lay, space: LabelRoom, window: Box) -> None:
    """Names in order of need: buildings, tags outside the enlarged part, points, areas, runs underground."""
    close = set(view.close_tags)
    name_buildings(view.site, lay, window, FULL, space)
    name_equipment([item for item in view.equipment if item.tag not in close], lay, space)
    name_zones(view.zones, lay, space)
    _name_buried(view, lay, space)
    name_points([point for point in view.site.points if point.kind != "window" and not _is_enlarged(view, point.at)], lay, FULL, space)
    name_arrays(view.site, lay, FULL, space)
    name_grounds(view.site, lay, window, FULL, space)


def _is_enlarged(view: SitePlan, at: Point) -> bool:
    """Whether the enlarged plan shows a point and names it."""
    return bool(view.close) and view.close[0][0] <= at[0] <= view.close[2][0] and view.close[0][1] <= at[1] <= view.close[2][1]


def _name_buried(view: SitePlan, lay: Lay, space: LabelRoom) -> None:
    for route in view.routes:
        if route.is_underground:
            anchor = middle_of_longest(tuple(map(lay.at, route.points)))
            if not space.label(anchor, route.words):
                space.label(anchor, (route.tag,))


def _add_enlarged(view: SitePlan, sheets: list[DrawnSheet], room: Box, turn_deg: float, marks: SheetMarks) -> None:
    """Draw the enlarged part beside the site plan where that gives a fair scale, else on a sheet of its own."""
    extent = extent_of(view.close, turn_deg)
    beside = Box(max(box.right for box in sheets[0].taken) + 4.0, room.top, room.right, room.bottom - KEY_HEIGHT_MM)
    lay = largest_lay(extent, beside, BUILDING_SCALES[:_SMALL_SCALES], _CLOSE_MARGINS, turn_deg)
    if lay is not None:
        drawn = _enlarged(view, lay, beside, marks)
        sheets[0].shapes += drawn.shapes
        sheets[0].taken += drawn.taken
        sheets[0].scale = "AS SHOWN"
        return
    whole = Box(room.left, room.top, room.right, room.bottom - KEY_HEIGHT_MM)
    lay = largest_lay(extent, whole, BUILDING_SCALES, _CLOSE_MARGINS, turn_deg)
    if lay is not None:
        sheets.append(_enlarged(view, lay, whole, marks))


def _enlarged(view: SitePlan, lay: Lay, room: Box, marks: SheetMarks) -> DrawnSheet:
    window = lay.box(extent_of(view.close, lay.turn_deg))
    bottom = min(room.bottom, window.bottom + _CLOSE_MARGINS.bottom)
    space = LabelRoom(Box(room.left, room.top, window.right + _CLOSE_MARGINS.right, bottom))
    edge = rectangle(window.left, window.top, window.width, window.height)
    here = set(view.close_tags)
    equipment = [item for item in view.equipment if item.tag in here]
    points = [point for point in view.site.points if window.contains(Box(*lay.at(point.at), *lay.at(point.at)))]
    routes = [route for route in view.routes if _shows(route, lay, window)]
    under = site_shapes(view.site, lay, window, FULL, space)
    under += hatched_shapes(view.working_spaces, lay, space)
    under += [*route_shapes(routes, lay, space), *zone_shapes(view.zones, lay, space)]
    shapes: list[Shape] = [
        Group(tuple(under), clip=edge),
        rectangle(window.left, window.top, window.width, window.height, pen=CLEARANCE_PEN),
    ]
    shapes += equipment_shapes(equipment, lay, space)
    space.take_outline(((window.left, window.top), (window.right, window.top), (window.right, window.bottom), (window.left, window.bottom)))
    name_equipment(equipment, lay, space)
    name_points(points, lay, FULL, space)
    name_buildings(_shown(view.site, lay, window), lay, window, FULL, space)
    for route in routes:
        inside = [point for point in (middle_of_longest(tuple(map(lay.at, route.points))),) if window.contains(Box(*point, *point))]
        if inside and not route.is_underground:
            space.label(inside[0], (route.tag,))
    mark_plan(equipment, [(route.tag, route.tag) for route in routes], marks, lay, space)
    key, _ = drawing_key(window.left, bottom + 1.0, "Equipment plan", lay, north_deg=view.site.north_deg, remark=view.close_remark)
    shapes += space.drawn
    return DrawnSheet([*shapes, *key], [*taken_by(shapes), *taken_by(key)], lay.scale.name)


def _shown(site: SiteGeometry, lay: Lay, window: Box) -> SiteGeometry:
    """Return the site with those buildings alone of which the window shows enough to name."""
    wide = [b for b in site.buildings if box_of_points(kept_in(window, on_sheet(lay, b.outline))).width > 20.0]
    return replace(site, buildings=tuple(wide))


def _shows(route: PlanRoute, lay: Lay, window: Box) -> bool:
    return any(window.contains(Box(*point, *point)) for point in map(lay.at, route.points))


def _beside(view: SitePlan, *, drawn: bool) -> list[list[Block]]:
    blocks: list[list[Block]] = []
    if view.missing or not drawn:
        words = ["Not drawn because not in the project file: " + "; ".join(view.missing) + "."] if view.missing else []
        if not drawn and not view.is_empty:
            words.append("The plan does not fit this paper at any of the scales used. Choose a larger paper.")
        blocks.append([Heading("Not shown"), *(Paragraph(text) for text in words)])
    if not view.vicinity.is_empty:
        shapes, height = vicinity_shapes(view.vicinity)
        lacking = [f"By the applicant, separately: {', '.join(view.vicinity.missing)}."] if view.vicinity.missing else []
        blocks.append([Heading("Vicinity sketch"), Figure(shapes, height), *(Paragraph(text) for text in lacking)])
    if view.equipment:
        rows = [(item.tag, item.step, item.name, item.place) for item in view.equipment]
        blocks.append([Heading("Equipment"), schedule(("TAG", "STEP", "NAME", view.place_heading), rows)])
    if drawn:
        blocks.append([Heading("Notes on the site plan"), Notes(view.notes)])
    return blocks
