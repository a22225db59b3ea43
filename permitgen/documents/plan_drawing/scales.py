"""The scales a drawing may have, and how a drawing lies on the sheet at one of them.

Engineer's scales for the site, architect's scales for buildings and what stands in them (US National CAD Standard, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.styles import MM_PER_INCH

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Scale:
    """A ratio by its name; ``bar_ft`` are the marks of its graphic scale."""

    name: str
    mm_per_ft: float
    bar_ft: tuple[int, ...]


def _engineer(feet: int) -> Scale:
    return Scale(f"1 in = {feet} ft", MM_PER_INCH / feet, (0, feet // 2, feet, 2 * feet))


def _architect(name: str, inches: float, *bar_ft: int) -> Scale:
    return Scale(f"{name} in = 1 ft", MM_PER_INCH * inches, bar_ft)


SITE_SCALES = tuple(_engineer(feet) for feet in (10, 20, 30, 40, 50, 60))
BUILDING_SCALES = (
    _architect("1/4", 1 / 4, 0, 2, 4, 8),
    _architect("3/16", 3 / 16, 0, 2, 5, 10),
    _architect("1/8", 1 / 8, 0, 4, 8, 16),
    _architect("3/32", 3 / 32, 0, 5, 10, 20),
    _architect("1/16", 1 / 16, 0, 8, 16, 32),
)
LARGE_SCALES = (_architect("1/2", 1 / 2, 0, 1, 2, 4), _architect("3/8", 3 / 8, 0, 1, 2, 4), BUILDING_SCALES[0])
ELEVATION_SCALES = (*LARGE_SCALES, *BUILDING_SCALES[1:])
"""Smaller ones than the usual 1/4 to 1/2 only where a wall is too long for the paper."""


@dataclass(frozen=True, slots=True)
class Extent:
    """The feet that a drawing takes on the page, already turned as it will lie: y up."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Width in feet."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height in feet."""
        return self.top - self.bottom


@dataclass(frozen=True, slots=True)
class Lay:
    """Turns feet into millimeters of the sheet. ``turn_deg`` turns the plan counter-clockwise."""

    scale: Scale
    dx: float
    dy: float
    turn_deg: float = 0.0

    def at(self, point: Point) -> Point:
        """Return where a point of the plan lies on the sheet."""
        x, y = turned(point, self.turn_deg)
        return (self.dx + x * self.scale.mm_per_ft, self.dy - y * self.scale.mm_per_ft)

    def direction(self, vector: Point) -> Point:
        """Return a direction on the plan as it shows on the sheet, where y points down."""
        x, y = turned(vector, self.turn_deg)
        return (x, -y)

    def north_clockwise_deg(self, north_deg: float) -> float:
        """Return how far to the right of up north lies; ``north_deg`` is the compass direction of the plan's up."""
        return -north_deg - self.turn_deg

    def mm(self, feet: float) -> float:
        """Return a length on the sheet."""
        return feet * self.scale.mm_per_ft

    def box(self, extent: Extent) -> Box:
        """Return the box of an extent on the sheet."""
        left, right = self.dx + self.mm(extent.left), self.dx + self.mm(extent.right)
        return Box(left, self.dy - self.mm(extent.top), right, self.dy - self.mm(extent.bottom))


def turned(point: Point, turn_deg: float) -> Point:
    """Return a point of the plan turned counter-clockwise about the origin; right turns are exact."""
    if turn_deg == 0.0:
        return point
    cosine, sine = round(math.cos(math.radians(turn_deg)), 12), round(math.sin(math.radians(turn_deg)), 12)
    return (point[0] * cosine - point[1] * sine, point[0] * sine + point[1] * cosine)


def upright_turn(north_deg: float) -> float:
    """Return the turn that keeps north from pointing below the horizontal: a half turn or none."""
    return 180.0 if 90.0 < north_deg % 360.0 < 270.0 else 0.0


def extent_of(points: Sequence[Point], turn_deg: float = 0.0) -> Extent:
    """Return the extent of points of a plan, turned as it will lie."""
    lying = [turned(point, turn_deg) for point in points]
    xs, ys = [x for x, _ in lying], [y for _, y in lying]
    return Extent(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class Margins:
    """Room in mm that dimensions and labels take around a drawing."""

    left: float
    top: float
    right: float
    bottom: float


def filling_lay(extent: Extent, room: Box, margins: Margins, turn_deg: float = 0.0) -> Lay:
    """Return the lay that fills a room at whatever ratio that takes, in its middle: for drawings that state no scale."""
    width, height = room.width - margins.left - margins.right, room.height - margins.top - margins.bottom
    mm_per_ft = min(width / max(extent.width, 1.0), height / max(extent.height, 1.0))
    dx = room.left + margins.left + (width - extent.width * mm_per_ft) / 2 - extent.left * mm_per_ft
    dy = room.top + margins.top + (height - extent.height * mm_per_ft) / 2 + extent.top * mm_per_ft
    return Lay(Scale("no scale", mm_per_ft, ()), dx, dy, turn_deg)


def largest_lay(extent: Extent, room: Box, scales: Sequence[Scale], margins: Margins, turn_deg: float = 0.0) -> Lay | None:
    """Return the lay at the largest scale with which the drawing and its margins fit, at the left of the room; None if none does."""
    return next(iter(lays_that_fit(extent, room, scales, margins, turn_deg)), None)


def lays_that_fit(extent: Extent, room: Box, scales: Sequence[Scale], margins: Margins, turn_deg: float = 0.0) -> list[Lay]:
    """Return the lays at all scales with which the drawing and its margins fit, the largest first, each at the left of the room."""
    found: list[Lay] = []
    for scale in scales:
        width = extent.width * scale.mm_per_ft + margins.left + margins.right
        height = extent.height * scale.mm_per_ft + margins.top + margins.bottom
        if width <= room.width and height <= room.height:
            spare = min((room.height - height) / 2, 10.0)
            dx = room.left + margins.left - extent.left * scale.mm_per_ft
            dy = room.top + spare + margins.top + extent.top * scale.mm_per_ft
            found.append(Lay(scale, dx, dy, turn_deg))
    return found
