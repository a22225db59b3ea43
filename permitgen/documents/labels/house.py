"""The simple diagram of a building with a roof: the project's own roof planes seen from above one side.

Arrays that are shut down are hatched one way; what stays energized is red and cross-hatched, so that color is not the only cue.
Parallel projection, feet in, millimeters out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.bounds import box_of_points
from permitgen.documents.canvas.colors import WHITE, Color, gray
from permitgen.documents.canvas.figures import polygon
from permitgen.documents.canvas.shapes import Group, Line, Point, Shape, moved
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.labels.diagram_marks import array_hatching, legend_rows, number_marker
from permitgen.documents.labels.ink import Inks
from permitgen.views.label import DiagramArray, PlanPoint, RoofDiagram, RoofPlane

_WALL_FT = 9.0
_TURN_DEG = 27.0
"""The building is turned by this from the straight view, so that two of its sides are seen."""
_LOOK_DOWN_DEG = 27.0
_SHADE = gray("shaded wall", 0xE4)
_OUTLINE_MM, _SEAM_MM = 0.5, 0.15

SpacePoint = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class _View:
    """Parallel projection: right and depth directions on the ground, and how much height and depth show."""

    right: tuple[float, float]
    ahead: tuple[float, float]

    def place(self, point: SpacePoint) -> Point:
        east, north, up = point
        across = east * self.right[0] + north * self.right[1]
        rise = self.depth(east, north) * math.sin(math.radians(_LOOK_DOWN_DEG)) + up * math.cos(math.radians(_LOOK_DOWN_DEG))
        return across, -rise

    def depth(self, east: float, north: float) -> float:
        return east * self.ahead[0] + north * self.ahead[1]


def _view_from(azimuth_deg: float) -> _View:
    look = math.radians(azimuth_deg + 180 - _TURN_DEG)
    return _View((math.sin(look + math.pi / 2), math.cos(look + math.pi / 2)), (math.sin(look), math.cos(look)))


def _height_at(plane: RoofPlane, point: PlanPoint) -> float:
    """Height of a roof plane above the ground: its lowest corner stands on the walls."""
    upslope = math.radians(plane.downslope_azimuth_deg + 180)
    along = [x * math.sin(upslope) + y * math.cos(upslope) for x, y in plane.outline]
    here = point[0] * math.sin(upslope) + point[1] * math.cos(upslope)
    return _WALL_FT + (here - min(along)) * math.tan(math.radians(plane.pitch_deg))


def _raised(plane: RoofPlane, points: Iterable[PlanPoint]) -> list[SpacePoint]:
    return [(x, y, _height_at(plane, (x, y))) for x, y in points]


@dataclass(frozen=True, slots=True)
class _Face:
    """Something to draw at a mean depth; farther faces are drawn first."""

    depth: float
    corners: tuple[Point, ...]
    fill: Color
    plane: int = -1
    corner_lines: tuple[tuple[Point, Point], ...] = ()


def _faces(diagram: RoofDiagram, view: _View) -> list[_Face]:
    faces: list[_Face] = []
    for number, plane in enumerate(diagram.planes):
        roof = _raised(plane, plane.outline)
        mean = sum(view.depth(x, y) for x, y, _ in roof) / len(roof)
        faces.append(_Face(mean, tuple(view.place(point) for point in roof), WHITE, plane=number))
        faces.extend(_wall(one, other, view) for one, other in _outer_edges(diagram.planes, roof))
    return sorted(faces, key=lambda face: -face.depth)


def _outer_edges(planes: Sequence[RoofPlane], roof: list[SpacePoint]) -> list[tuple[SpacePoint, SpacePoint]]:
    """The edges of a plane that no other plane shares, for example all but the ridge of a gabled roof."""
    own = list(zip(roof, (*roof[1:], roof[0]), strict=True))
    ends = [
        {_near(one), _near(other)}
        for plane in planes
        for one, other in zip(plane.outline, (*plane.outline[1:], plane.outline[0]), strict=True)
    ]
    return [(one, other) for one, other in own if ends.count({_near(one[:2]), _near(other[:2])}) == 1]


def _near(point: PlanPoint) -> tuple[int, int]:
    return round(point[0] * 2), round(point[1] * 2)


def _wall(one: SpacePoint, other: SpacePoint, view: _View) -> _Face:
    depth = (view.depth(*one[:2]) + view.depth(*other[:2])) / 2
    corners = (one, other, (other[0], other[1], 0.0), (one[0], one[1], 0.0))
    run = (other[0] - one[0], other[1] - one[1])
    faces_reader = abs(run[0] * view.ahead[0] + run[1] * view.ahead[1]) < math.hypot(*run) * 0.6
    posts = tuple((view.place(top), view.place((top[0], top[1], 0.0))) for top in (one, other) if abs(top[2] - _WALL_FT) < 0.1)
    return _Face(depth, tuple(view.place(corner) for corner in corners), WHITE if faces_reader else _SHADE, corner_lines=posts)


@dataclass(frozen=True, slots=True)
class _Scale:
    """From projected feet to mm within a box."""

    factor: float
    dx: float
    dy: float

    def place(self, point: Point) -> Point:
        return point[0] * self.factor + self.dx, point[1] * self.factor + self.dy


def house_diagram(diagram: RoofDiagram, width_mm: float, height_mm: float, inks: Inks) -> tuple[Shape, ...]:
    """Return the diagram with its legend, filling a box of ``width_mm`` by ``height_mm`` whose top left corner is the origin."""
    legend, legend_height = legend_rows(diagram, width_mm, inks)
    view = _view_from(diagram.seen_from_azimuth_deg)
    faces = _faces(diagram, view)
    box = box_of_points(point for face in faces for point in face.corners)
    room = height_mm - legend_height
    factor = min(width_mm / box.width, room / box.height)
    scale = _Scale(factor, (width_mm - box.width * factor) / 2 - box.left * factor, room - box.bottom * factor)
    outline = Pen(_OUTLINE_MM, inks.line, join="round", cap="round")
    shapes: list[Shape] = []
    for face in faces:
        shapes.extend(_drawn_face(face, scale, outline, inks))
        for array in diagram.arrays:
            if array.plane == face.plane:
                shapes.extend(_array(array, diagram.planes[array.plane], view, scale, inks))
    for number, (_tag, place) in enumerate(diagram.initiators, start=1):
        shapes.extend(number_marker(scale.place(view.place((*place, 4.5))), number, inks))
    return (*shapes, Group(legend, transform=moved(0.0, height_mm - legend_height)))


def _drawn_face(face: _Face, scale: _Scale, outline: Pen, inks: Inks) -> Iterable[Shape]:
    corners = tuple(scale.place(corner) for corner in face.corners)
    fill = face.fill if inks.printing == "color" else inks.paper
    if face.plane >= 0:
        yield polygon(corners, pen=outline, fill=fill)
        return
    yield polygon(corners, fill=fill, pen=Pen(_SEAM_MM, fill, join="round"))  # covers the seam between two walls in one plane
    yield Line(*corners[0], *corners[1], outline)
    yield Line(*corners[2], *corners[3], outline)
    for top, bottom in face.corner_lines:
        yield Line(*scale.place(top), *scale.place(bottom), outline)


def _array(array: DiagramArray, plane: RoofPlane, view: _View, scale: _Scale, inks: Inks) -> tuple[Shape, ...]:
    corners = tuple(scale.place(view.place(point)) for point in _raised(plane, array.outline))
    return (polygon(corners, fill=inks.paper), *array_hatching(corners, inks, stays_energized=array.stays_energized))
