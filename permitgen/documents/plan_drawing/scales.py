"""The scales a drawing may have, and how a drawing lies on the sheet at one of them.

Engineer's scales for the site, architect's scales for buildings and what stands in them (US National CAD Standard, from memory).
"""

from __future__ import annotations

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
    """Turns feet into millimetres of the sheet. ``half_turn`` lays a plan upside down so that north does not point down."""

    scale: Scale
    dx: float
    dy: float
    half_turn: bool = False

    def at(self, point: Point) -> Point:
        """Return where a point of the plan lies on the sheet."""
        x, y = turned(point, half_turn=self.half_turn)
        return (self.dx + x * self.scale.mm_per_ft, self.dy - y * self.scale.mm_per_ft)

    def mm(self, feet: float) -> float:
        """Return a length on the sheet."""
        return feet * self.scale.mm_per_ft

    def box(self, extent: Extent) -> Box:
        """Return the box of an extent on the sheet."""
        left, right = self.dx + self.mm(extent.left), self.dx + self.mm(extent.right)
        return Box(left, self.dy - self.mm(extent.top), right, self.dy - self.mm(extent.bottom))


def turned(point: Point, *, half_turn: bool) -> Point:
    """Return a point of the plan as it lies on the page."""
    return (-point[0], -point[1]) if half_turn else point


def points_down(north_deg: float) -> bool:
    """Whether north would point below the horizontal with the plan's up at the top."""
    return 90.0 < north_deg % 360.0 < 270.0


def extent_of(points: Sequence[Point], *, half_turn: bool = False) -> Extent:
    """Return the extent of points of a plan."""
    lying = [turned(point, half_turn=half_turn) for point in points]
    xs, ys = [x for x, _ in lying], [y for _, y in lying]
    return Extent(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class Margins:
    """Room in mm that dimensions and labels take around a drawing."""

    left: float
    top: float
    right: float
    bottom: float


def largest_lay(extent: Extent, room: Box, scales: Sequence[Scale], margins: Margins, *, half_turn: bool = False) -> Lay | None:
    """Return the lay at the largest scale with which the drawing and its margins fit, at the left of the room; None if none does."""
    for scale in scales:
        width = extent.width * scale.mm_per_ft + margins.left + margins.right
        height = extent.height * scale.mm_per_ft + margins.top + margins.bottom
        if width <= room.width and height <= room.height:
            spare = min((room.height - height) / 2, 10.0)
            dx = room.left + margins.left - extent.left * scale.mm_per_ft
            dy = room.top + spare + margins.top + extent.top * scale.mm_per_ft
            return Lay(scale, dx, dy, half_turn)
    return None
