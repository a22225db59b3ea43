"""The one drawing of the site: grounds, lot, buildings, roofs, arrays, openings, at the level of detail that a paper asks for.

The site plan and its enlarged parts show all of it; the map of placard and record the little that an emergency needs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from permitgen.documents.canvas.bounds import Box, box_of_points
from permitgen.documents.canvas.colors import BLACK, DARK_GRAY, LIGHT_GRAY, MID_GRAY, PALE_GRAY, WHITE
from permitgen.documents.canvas.figures import circle, hatching, polygon, rectangle
from permitgen.documents.canvas.shapes import Group, Line, Shape
from permitgen.documents.canvas.styles import (
    EXTRA_WIDE,
    FINE,
    LONG_DASH,
    LONG_TWO_SHORT_DASH,
    MEDIUM,
    SHORT_DASH,
    THIN,
    WIDE,
    Pen,
    TextStyle,
    capitals,
)
from permitgen.documents.fonts.faces import CONDENSED_BOLD, CONDENSED_MEDIUM
from permitgen.documents.plan_drawing.labels import WITHIN, LabelRoom
from permitgen.documents.plan_drawing.scales import Lay
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.system.site.plan import Bollard
from permitgen.views.site_geometry import NamedOutline, NamedPoint, SiteGeometry

Point = tuple[float, float]
Outline = tuple[Point, ...]


LOT_WEIGHT = 2.0
"""What it costs a label to break a lot line."""


@dataclass(frozen=True, slots=True)
class Detail:
    """How the site is drawn.

    ``gap_mm`` is how wide an opening of unknown width shows (0: a diamond marks it); ``array_names`` are tried one after the other,
    ``has_leaders`` False leaves a name out that finds no room in what it names.
    """

    lot: Pen
    ground: Pen
    wall: Pen
    ridge: Pen
    array: Pen
    hatch: Pen
    hatch_mm: float
    building_name: TextStyle
    name: TextStyle
    array_name: TextStyle
    array_names: tuple[str, ...]
    gap_mm: float
    has_leaders: bool


FULL = Detail(
    lot=Pen(EXTRA_WIDE.width_mm, dash_mm=LONG_TWO_SHORT_DASH),
    ground=THIN,
    wall=WIDE,
    ridge=Pen(FINE.width_mm, dash_mm=LONG_DASH),
    array=MEDIUM,
    hatch=Pen(FINE.width_mm, MID_GRAY),
    hatch_mm=2.4,
    building_name=LETTERING.strong,
    name=LETTERING.text,
    array_name=LETTERING.text,
    array_names=("PV ARRAY",),
    gap_mm=0.0,
    has_leaders=True,
)
"""Plans to scale."""

LARGE = replace(FULL, wall=EXTRA_WIDE)
"""Plans of a room at large scale."""


def simplified(label_mm: float) -> Detail:
    """Return the detail of the map in an emergency; ``label_mm`` is the height of its capitals."""
    label = capitals(CONDENSED_MEDIUM, label_mm, DARK_GRAY)
    return Detail(
        lot=THIN.colored(MID_GRAY).dashed(4.0, 1.2),
        ground=Pen(FINE.width_mm, LIGHT_GRAY),
        wall=WIDE,
        ridge=Pen(FINE.width_mm, LIGHT_GRAY),
        array=MEDIUM,
        hatch=THIN.colored(MID_GRAY),
        hatch_mm=1.6,
        building_name=label,
        name=label,
        array_name=capitals(CONDENSED_BOLD, label_mm),
        array_names=("SOLAR PANELS", "SOLAR", "PV"),
        gap_mm=3.0,
        has_leaders=False,
    )


def on_sheet(lay: Lay, outline: Sequence[Point]) -> Outline:
    """Return an outline where it lies on the sheet."""
    return tuple(lay.at(point) for point in outline)


def kept_in(window: Box, outline: Sequence[Point]) -> Outline:
    """Return an outline with what lies beyond the window pushed to its edge: right for rectangles along the sheet."""
    return tuple((min(max(x, window.left), window.right), min(max(y, window.top), window.bottom)) for x, y in outline)


def middle_of(outline: Sequence[Point]) -> Point:
    """Return the middle of the box around an outline."""
    box = box_of_points(outline)
    return ((box.left + box.right) / 2, (box.top + box.bottom) / 2)


def site_shapes(site: SiteGeometry, lay: Lay, window: Box, detail: Detail, space: LabelRoom) -> list[Shape]:
    """Return the site without its names; streets and driveways are cut off at the edge of ``window``."""
    edge = rectangle(window.left, window.top, window.width, window.height)
    shapes: list[Shape] = [Group(tuple(_grounds(site.grounds, lay, window, detail, space)), clip=edge)]
    if len(site.lot) > 2:
        outline = on_sheet(lay, site.lot)
        shapes.append(polygon(outline, pen=detail.lot))
        space.take_outline(outline, LOT_WEIGHT)
    shapes += [polygon(on_sheet(lay, building.outline), fill=WHITE) for building in site.buildings]
    for room in site.rooms:
        outline = on_sheet(lay, room.outline)
        shapes.append(polygon(outline, pen=THIN))
        space.take_outline(outline, 0.5)
    for array in site.arrays:
        outline = on_sheet(lay, array.outline)
        shapes += [*hatching(outline, pen=detail.hatch, spacing=detail.hatch_mm), polygon(outline, pen=detail.array)]
        space.take_outline(outline, 0.6)
        space.areas.append((box_of_points(outline), 1.0))
    for ridge in site.ridges:
        ends = on_sheet(lay, ridge)
        shapes.append(Line(*ends[0], *ends[1], detail.ridge))
        space.take_outline(ends, 0.5, closed=False)
    shapes += obstruction_shapes(site.obstructions, lay, space)
    for building in site.buildings:
        outline = on_sheet(lay, building.outline)
        shapes.append(polygon(outline, pen=detail.wall))
        space.take_outline(outline, 3.0)
    shapes += point_shapes(site.points, lay, detail, space)
    return [*shapes, *bollard_shapes(site.bollards, lay, space)]


def _grounds(grounds: Iterable[NamedOutline], lay: Lay, window: Box, detail: Detail, space: LabelRoom) -> list[Shape]:
    shapes: list[Shape] = []
    for ground in grounds:
        outline = on_sheet(lay, ground.outline)
        shapes.append(polygon(outline, pen=detail.ground, fill=PALE_GRAY))
        space.take_outline(kept_in(window, outline), 0.3)
    return shapes


def point_shapes(points: Iterable[NamedPoint], lay: Lay, detail: Detail, space: LabelRoom) -> list[Shape]:
    """Return doors and windows as gaps in their walls, as wide as they are; other points as small diamonds."""
    shapes: list[Shape] = []
    for point in points:
        x, y = lay.at(point.at)
        jambs = _jambs(point, lay, detail)
        if jambs is not None:
            shapes += _gap(point, *jambs, detail)
            space.boxes.append(box_of_points(jambs).grown(0.9))
            continue
        corners = ((x, y - 1.0), (x + 1.0, y), (x, y + 1.0), (x - 1.0, y))
        shapes.append(polygon(corners, pen=THIN, fill=WHITE if detail.has_leaders else DARK_GRAY))
        space.boxes.append(Box(x - 1.0, y - 1.0, x + 1.0, y + 1.0))
    return shapes


def _jambs(point: NamedPoint, lay: Lay, detail: Detail) -> tuple[Point, Point] | None:
    """Return both ends of an opening on the sheet; None where a diamond marks it."""
    if not point.is_opening or point.along is None:
        return None
    if point.ends is not None:
        return lay.at(point.ends[0]), lay.at(point.ends[1])
    if not detail.gap_mm:
        return None
    (x, y), (dx, dy) = lay.at(point.at), lay.direction(point.along)
    half = detail.gap_mm / 2
    return (x - dx * half, y - dy * half), (x + dx * half, y + dy * half)


def _gap(point: NamedPoint, start: Point, end: Point, detail: Detail) -> list[Shape]:
    """An opening: the wall left out between two jambs, in it the panes of a window or the leaf of a door."""
    length = math.dist(start, end) or 1.0
    dx, dy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    deep, pane = detail.wall.width_mm / 2 + 0.4, 0.3
    normal = (-dy, dx)

    def beside(at: Point, reach: float) -> Point:
        return (at[0] + normal[0] * reach, at[1] + normal[1] * reach)

    shapes: list[Shape] = [polygon((beside(start, -deep), beside(end, -deep), beside(end, deep), beside(start, deep)), fill=WHITE)]
    shapes += [Line(*beside(at, -deep - 0.3), *beside(at, deep + 0.3), MEDIUM) for at in (start, end)]
    if not detail.has_leaders:
        return shapes
    if "window" in point.kind:
        shapes += [Line(*beside(start, off), *beside(end, off), FINE) for off in (-pane, pane)]
    elif "vehicle" in point.kind:
        shapes.append(Line(*start, *end, Pen(FINE.width_mm, dash_mm=SHORT_DASH)))
    else:
        shapes.append(Line(*start, *end, FINE))
    return shapes


def obstruction_shapes(obstructions: Iterable[NamedOutline], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return what stands on a roof: chimneys hatched, skylights crossed, everything else as its outline, at least 1.2 mm wide."""
    shapes: list[Shape] = []
    for item in obstructions:
        outline = on_sheet(lay, item.outline)
        box, (x, y) = box_of_points(outline), middle_of(outline)
        if box.width < _LEAST_MM:
            shapes.append(circle(x, y, _LEAST_MM / 2, pen=THIN, fill=WHITE))
        else:
            shapes.append(polygon(outline, pen=THIN, fill=WHITE))
        if item.kind == "chimney":
            shapes += hatching(outline, pen=FINE, spacing=0.8)
        elif item.kind == "skylight" and len(outline) == 4:
            shapes += [Line(*outline[0], *outline[2], FINE), Line(*outline[1], *outline[3], FINE)]
        space.boxes.append(Box(x, y, x, y).grown(_LEAST_MM / 2).joined(box).grown(0.2))
    return shapes


_LEAST_MM = 1.2
_LEAST_ROOM_MM = 8.0
"""Of a room that shows less within the window no name is put on the plan."""


def bollard_shapes(bollards: Iterable[Bollard], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return posts as discs, true to size where that can be seen."""
    shapes: list[Shape] = []
    for bollard in bollards:
        x, y = lay.at(bollard.point)
        radius = max(lay.mm(bollard.diameter_ft or 0.0) / 2, 0.6)
        shapes.append(circle(x, y, radius, fill=BLACK))
        space.boxes.append(Box(x - radius, y - radius, x + radius, y + radius).grown(0.2))
    return shapes


def name_buildings(site: SiteGeometry, lay: Lay, window: Box, detail: Detail, space: LabelRoom) -> None:
    """Put the names of buildings and their rooms in them, off the arrays where there is room."""
    for room in site.rooms:
        shown = kept_in(window, on_sheet(lay, room.outline))
        if min(box_of_points(shown).width, box_of_points(shown).height) > _LEAST_ROOM_MM:
            name_area(space, shown, (room.key,), detail.name, has_leader=detail.has_leaders)
    for building in site.buildings:
        outline = kept_in(window, on_sheet(lay, building.outline))
        name_area(space, outline, (building.label or building.key,), detail.building_name, has_leader=detail.has_leaders)


def name_arrays(site: SiteGeometry, lay: Lay, detail: Detail, space: LabelRoom) -> None:
    """Put the name on every array."""
    for array in site.arrays:
        name_area(space, on_sheet(lay, array.outline), detail.array_names, detail.array_name, has_leader=detail.has_leaders)


def name_grounds(site: SiteGeometry, lay: Lay, window: Box, detail: Detail, space: LabelRoom) -> None:
    """Put the names of streets and driveways on the parts of them that show."""
    for ground in site.grounds:
        outline = kept_in(window, on_sheet(lay, ground.outline))
        words = ground.label or (ground.kind if detail.has_leaders else "")
        if words:
            name_area(space, outline, (words,), detail.name, has_leader=detail.has_leaders)


def name_points(points: Iterable[NamedPoint], lay: Lay, detail: Detail, space: LabelRoom) -> None:
    """Put names beside points; windows are marked by W to keep a plan clear; of openings a map names the front door."""
    for point in points:
        if point.is_opening and not detail.has_leaders and "FRONT" not in point.label.upper():
            continue
        words = "W" if point.kind == "window" and not point.label else (point.label or point.kind).upper()
        space.label(lay.at(point.at), (words,), style=detail.name)


def name_area(space: LabelRoom, outline: Sequence[Point], names: Sequence[str], style: TextStyle, *, has_leader: bool = True) -> None:
    """Put the first of some names that fits in an area of the sheet, level or upright; else beside it with a leader."""
    area, middle = box_of_points(outline).grown(-0.6), middle_of(outline)
    for name in names:
        words = name.upper()
        if space.label(middle, (words,), style=style, within=area, clear=WITHIN) or space.upright_label(middle, words, style, area):
            return
    if has_leader:
        space.label(middle, (names[-1].upper(),), style=style, within=area)
