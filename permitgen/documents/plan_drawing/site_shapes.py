"""The site drawn to scale: grounds, lot, buildings, arrays, runs, equipment. The site plan and its enlarged part share these."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from permitgen.documents.canvas.bounds import Box, box_of_points
from permitgen.documents.canvas.colours import LIGHT_GREY, MID_GREY, PALE_GREY, WHITE
from permitgen.documents.canvas.figures import circle, hatching, polygon
from permitgen.documents.canvas.shapes import Line, Polyline, Shape
from permitgen.documents.canvas.styles import (
    EXTRA_WIDE,
    FINE,
    LONG_DASH,
    LONG_TWO_SHORT_DASH,
    MEDIUM,
    MM_PER_INCH,
    SHORT_DASH,
    THIN,
    WIDE,
    Pen,
    TextStyle,
)
from permitgen.documents.plan_drawing.labels import LabelRoom
from permitgen.documents.plan_drawing.scales import Lay
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.views.plans.parts import Outline, PlanEquipment, PlanRoute, PlanZone, Point
from permitgen.views.site_geometry import NamedOutline, NamedPoint

LOT_PEN = Pen(EXTRA_WIDE.width_mm, dash_mm=LONG_TWO_SHORT_DASH)
UNDERGROUND_PEN = Pen(MEDIUM.width_mm, dash_mm=LONG_DASH)
CLEARANCE_PEN = Pen(FINE.width_mm, dash_mm=SHORT_DASH)
RIDGE_PEN = Pen(FINE.width_mm, dash_mm=LONG_DASH)
_ARRAY_HATCH = Pen(FINE.width_mm, MID_GREY)


def on_sheet(lay: Lay, outline: Sequence[Point]) -> Outline:
    """Return an outline where it lies on the sheet."""
    return tuple(lay.at(point) for point in outline)


def kept_in(window: Box, outline: Sequence[Point]) -> Outline:
    """Return an outline with what lies beyond the window pushed to its edge: right for rectangles along the sheet."""
    return tuple((min(max(x, window.left), window.right), min(max(y, window.top), window.bottom)) for x, y in outline)


def middle_of(outline: Sequence[Point]) -> Point:
    """Return the middle of the box around an outline."""
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def middle_of_longest(way: Sequence[Point]) -> Point:
    """Return the middle of the longest stretch of a way."""
    a, b = max(itertools.pairwise(way), key=lambda pair: math.dist(*pair))
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


def ground_shapes(grounds: Iterable[NamedOutline], lay: Lay, window: Box, space: LabelRoom) -> list[Shape]:
    """Return streets and driveways, cut off at the edge of what is shown."""
    shapes: list[Shape] = []
    for ground in grounds:
        outline = kept_in(window, on_sheet(lay, ground.outline))
        shapes.append(polygon(outline, pen=THIN, fill=PALE_GREY))
        space.take_outline(outline, 0.3)
    return shapes


def lot_shapes(lot: Outline, lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return the lot lines."""
    if len(lot) < 3:
        return []
    outline = on_sheet(lay, lot)
    space.take_outline(outline, 2.0)
    return [polygon(outline, pen=LOT_PEN)]


def building_shapes(
    buildings: Iterable[NamedOutline], arrays: Iterable[NamedOutline], ridges: Iterable[tuple[Point, Point]], lay: Lay, space: LabelRoom
) -> list[Shape]:
    """Return buildings with their roof lines and arrays."""
    listed = tuple(buildings)
    shapes: list[Shape] = [polygon(on_sheet(lay, building.outline), fill=WHITE) for building in listed]
    for array in arrays:
        outline = on_sheet(lay, array.outline)
        shapes += [*hatching(outline, pen=_ARRAY_HATCH, spacing=2.4), polygon(outline, pen=MEDIUM)]
        space.take_outline(outline, 0.6)
    shapes += [Line(*lay.at(start), *lay.at(end), RIDGE_PEN) for start, end in ridges]
    for building in listed:
        outline = on_sheet(lay, building.outline)
        shapes.append(polygon(outline, pen=WIDE))
        space.take_outline(outline, 3.0)
    return shapes


def route_shapes(routes: Iterable[PlanRoute], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return raceways and cables; those underground dashed."""
    shapes: list[Shape] = []
    for route in routes:
        way = on_sheet(lay, route.points)
        shapes.append(Polyline(way, UNDERGROUND_PEN if route.is_underground else MEDIUM))
        space.take_outline(way, 1.0, closed=False)
    return shapes


def zone_shapes(zones: Iterable[PlanZone], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return areas to be kept clear, dashed."""
    shapes: list[Shape] = []
    for zone in zones:
        outline = on_sheet(lay, zone.outline)
        shapes.append(polygon(outline, pen=CLEARANCE_PEN))
        space.take_outline(outline, 0.5)
    return shapes


def hatched_shapes(zones: Iterable[PlanZone], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return areas to be kept clear, hatched as the National CAD Standard has them, 1/8 in apart (from memory)."""
    shapes: list[Shape] = []
    for zone in zones:
        outline = on_sheet(lay, zone.outline)
        shapes += [*hatching(outline, pen=FINE, spacing=MM_PER_INCH / 8), polygon(outline, pen=CLEARANCE_PEN)]
        space.take_outline(outline, 0.1)
    return shapes


def equipment_shapes(equipment: Iterable[PlanEquipment], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return each piece as its outline where its size is known, else as a small circle at its place."""
    shapes: list[Shape] = []
    for item in equipment:
        x, y = lay.at(item.at)
        if item.outline:
            outline = on_sheet(lay, item.outline)
            shapes.append(polygon(outline, pen=THIN if item.is_existing else WIDE, fill=LIGHT_GREY))
            space.take_outline(outline, 1.2)
        else:
            shapes.append(circle(x, y, 0.8, pen=MEDIUM, fill=WHITE))
        space.boxes.append(Box(x - 0.9, y - 0.9, x + 0.9, y + 0.9))
    return shapes


def point_shapes(points: Iterable[NamedPoint], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return doors, windows and other points as small diamonds."""
    shapes: list[Shape] = []
    for point in points:
        x, y = lay.at(point.at)
        shapes.append(polygon(((x, y - 1.0), (x + 1.0, y), (x, y + 1.0), (x - 1.0, y)), pen=THIN, fill=WHITE))
        space.boxes.append(Box(x - 1.0, y - 1.0, x + 1.0, y + 1.0))
    return shapes


def name_equipment(equipment: Iterable[PlanEquipment], lay: Lay, space: LabelRoom) -> None:
    """Put tags beside equipment, on the side a person stands, with the number of the placard's step."""
    sign = -1.0 if lay.half_turn else 1.0
    for item in sorted(equipment, key=lambda item: (-item.at[1], item.at[0])):
        words = f"{item.tag} (E)" if item.is_existing else item.tag
        ahead = (item.facing[0] * sign, -item.facing[1] * sign)
        anchor = middle_of(on_sheet(lay, item.outline)) if item.outline else lay.at(item.at)
        space.label(anchor, (words,), toward=ahead, style=LETTERING.strong, disc=item.step)


def name_points(points: Iterable[NamedPoint], lay: Lay, space: LabelRoom) -> None:
    """Put names beside points; windows are marked by W to keep the plan clear."""
    for point in points:
        words = "W" if point.kind == "window" and not point.label else (point.label or point.kind).upper()
        space.label(lay.at(point.at), (words,))


def name_area(space: LabelRoom, outline: Sequence[Point], words: str, style: TextStyle = LETTERING.strong) -> None:
    """Put a name in an area of the sheet, beside it with a leader where there is no room inside."""
    space.label(middle_of(outline), (words.upper(),), style=style, within=box_of_points(outline))


def name_zones(zones: Iterable[PlanZone], lay: Lay, space: LabelRoom) -> None:
    """Put the words of areas at their upper right corner."""
    for zone in zones:
        corner = max(on_sheet(lay, zone.outline), key=lambda p: (p[0], -p[1]))
        space.label(corner, zone.words, toward=(1.0, -1.0))
