"""The roof plan of the label for roofs with more than one rapid shutdown type: planes, arrays, and what stays energized.

Areas that remain energized lie within a dotted line. The side of the building that the reader stands at is at the foot.
"""

from __future__ import annotations

import math

from permitgen.documents.canvas.bounds import Box, box_of_points
from permitgen.documents.canvas.figures import polygon, rectangle
from permitgen.documents.canvas.shapes import Group, Point, Polyline, Shape, Text, moved
from permitgen.documents.canvas.styles import DOTS, Pen, capitals
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.fonts.faces import SANS_SEMIBOLD
from permitgen.documents.labels.diagram_marks import array_hatching, legend_rows, number_marker
from permitgen.documents.labels.ink import Inks
from permitgen.views.label import PlanPoint, RoofDiagram

_TAG_CAP_MM = 2.8
_DOTTED_MARGIN_MM = 1.8


def roof_plan_height_to_width(diagram: RoofDiagram) -> float:
    """Return the height of the plan by its width, kept between a third and one."""
    box = box_of_points(_turned(point, diagram.seen_from_azimuth_deg) for plane in diagram.planes for point in plane.outline)
    return min(max(box.height / box.width, 0.33), 1.0)


def roof_plan_diagram(diagram: RoofDiagram, width_mm: float, height_mm: float, inks: Inks) -> tuple[Shape, ...]:
    """Return the plan with its legend in a box of ``width_mm`` by ``height_mm`` whose top left corner is the origin."""
    legend, legend_height = legend_rows(diagram, width_mm, inks)
    turned = [[_turned(point, diagram.seen_from_azimuth_deg) for point in plane.outline] for plane in diagram.planes]
    box = box_of_points(point for outline in turned for point in outline)
    room = height_mm - legend_height - 1.0
    factor = min(width_mm / box.width, room / box.height)
    dx = (width_mm - box.width * factor) / 2 - box.left * factor
    dy = (room - box.height * factor) / 2 - box.top * factor

    def place(point: PlanPoint) -> Point:
        x, y = _turned(point, diagram.seen_from_azimuth_deg)
        return x * factor + dx, y * factor + dy

    outline = Pen(0.5, inks.line, join="round")
    tags: list[Shape] = []
    shapes: list[Shape] = [polygon([place(point) for point in plane.outline], pen=outline, fill=inks.paper) for plane in diagram.planes]
    for array in diagram.arrays:
        corners = tuple(place(point) for point in array.outline)
        shapes.extend(array_hatching(corners, inks, stays_energized=array.stays_energized))
        if array.stays_energized:
            shapes.append(_dotted_line(corners, inks))
        if array.tag:
            tags.extend(_tag(array.tag, box_of_points(corners), inks))
    for number, (_words, at) in enumerate(diagram.initiators, start=1):
        shapes.extend(number_marker(place(at), number, inks))
    return (*shapes, *tags, Group(legend, transform=moved(0.0, height_mm - legend_height)))


def _turned(point: PlanPoint, seen_from_azimuth_deg: float) -> Point:
    """Turn the plan so that the side it is seen from is at the foot, y down."""
    look = math.radians(seen_from_azimuth_deg + 180)
    across = point[0] * math.cos(look) - point[1] * math.sin(look)
    ahead = point[0] * math.sin(look) + point[1] * math.cos(look)
    return across, -ahead


def _dotted_line(corners: tuple[Point, ...], inks: Inks) -> Polyline:
    """Return a dotted line around an area, a little outside it."""
    box = box_of_points(corners).grown(_DOTTED_MARGIN_MM)
    middle = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
    around = tuple(_pushed_out(corner, middle) for corner in corners)
    return Polyline(around, Pen(0.9, inks.energized, (DOTS[0], 1.8), cap="round", join="round"), closed=True)


def _pushed_out(corner: Point, middle: Point) -> Point:
    run = math.dist(corner, middle) or 1.0
    reach = 1 + _DOTTED_MARGIN_MM * math.sqrt(2) / run
    return middle[0] + (corner[0] - middle[0]) * reach, middle[1] + (corner[1] - middle[1]) * reach


def _tag(tag: str, box: Box, inks: Inks) -> tuple[Shape, ...]:
    """Return the tag of an array: inside it where there is room, else below it."""
    style = capitals(SANS_SEMIBOLD, _TAG_CAP_MM, inks.line)
    width, height = text_width(tag, style) + 2.0, 2 * _TAG_CAP_MM
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    if width > box.width - 4.0 or height > box.height - 4.0:
        y = box.bottom + 2 * _DOTTED_MARGIN_MM + _TAG_CAP_MM
    ground = rectangle(x - width / 2, y - height / 2, width, height, fill=inks.paper)
    return (ground, Text(x, y + _TAG_CAP_MM / 2, tag, style, anchor="middle"))
