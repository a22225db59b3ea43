"""What a page is made of. All coordinates in millimeters, origin top left, x to the right, y down."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from permitgen.documents.canvas.colors import Color
from permitgen.documents.canvas.styles import Pen, TextStyle

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
_ADDRESSES = ("https://", "http://", "mailto:", "tel:")


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line from one point to another."""

    x1: float
    y1: float
    x2: float
    y2: float
    pen: Pen


@dataclass(frozen=True, slots=True)
class Polyline:
    """Straight lines through ``points``; closed, filled or both when asked."""

    points: tuple[Point, ...]
    pen: Pen | None
    fill: Color | None = None
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Move:
    """Begins a new contour of a path."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Straight:
    """Draws a straight edge to a point."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Curve:
    """Draws a cubic Bézier curve by two control points to an end point."""

    x1: float
    y1: float
    x2: float
    y2: float
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Close:
    """Closes the contour with a straight edge back to where it began."""


Segment = Move | Straight | Curve | Close


@dataclass(frozen=True, slots=True)
class Path:
    """Contours drawn with a pen, filled, or both. ``even_odd`` makes a contour inside another a hole."""

    segments: tuple[Segment, ...]
    pen: Pen | None = None
    fill: Color | None = None
    even_odd: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text: ``x`` at the anchor, ``y`` at the baseline; rotation in degrees counter-clockwise as seen."""

    x: float
    y: float
    text: str
    style: TextStyle
    anchor: Anchor = "start"
    rotation_deg: float = 0.0

    def start(self, width: float) -> float:
        """Return where the line begins that is ``width`` wide, before it is rotated."""
        return self.x - {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]


@dataclass(frozen=True, slots=True)
class Picture:
    """A PNG or JPEG by its bytes, in a rectangle by its top left corner; ``says`` tells in words what it shows."""

    x: float
    y: float
    width: float
    height: float
    data: bytes
    says: str

    def __repr__(self) -> str:
        return f"Picture(x={self.x}, y={self.y}, width={self.width}, height={self.height}, says={self.says!r})"


@dataclass(frozen=True, slots=True)
class Link:
    """A rectangle that leads to an address (``url``) or to a bookmark of the same document (``bookmark``).

    Raises ValueError for an address that is not a web, mail or telephone address: a page never carries a script.
    """

    x: float
    y: float
    width: float
    height: float
    url: str = ""
    bookmark: str = ""

    def __post_init__(self) -> None:
        if self.url and not self.url.lower().startswith(_ADDRESSES):
            raise ValueError(f'"{self.url}" is not an address to link to; write it with one of {", ".join(_ADDRESSES)} in front')


@dataclass(frozen=True, slots=True)
class Bookmark:
    """A place that links and the outline can lead to. ``title`` empty: no line in the outline."""

    key: str
    title: str
    y: float
    level: int = 0


@dataclass(frozen=True, slots=True)
class Transform:
    """Maps (x, y) to (a x + c y + e, b x + d y + f)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def apply(self, x: float, y: float) -> Point:
        """Return where a point lands."""
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def after(self, first: Transform) -> Transform:
        """Return the transform that does ``first`` and then this one."""
        e, f = self.apply(first.e, first.f)
        return Transform(
            self.a * first.a + self.c * first.b,
            self.b * first.a + self.d * first.b,
            self.a * first.c + self.c * first.d,
            self.b * first.c + self.d * first.d,
            e,
            f,
        )


IDENTITY = Transform()


def moved(dx: float, dy: float) -> Transform:
    """Return a shift by ``dx`` and ``dy`` mm."""
    return Transform(e=dx, f=dy)


def scaled(across: float, down: float | None = None) -> Transform:
    """Return a scaling about the origin, the same in both directions unless ``down`` is given."""
    return Transform(a=across, d=across if down is None else down)


def rotated(degrees: float, x: float = 0.0, y: float = 0.0) -> Transform:
    """Return a turn about the point (x, y), counter-clockwise as seen on the page."""
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return Transform(cosine, -sine, sine, cosine, x - cosine * x - sine * y, y + sine * x - cosine * y)


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes placed together: ``transform`` first, then cut off at ``clip`` (in the coordinates outside the group).

    ``layer`` names the group for programs that read layers, for example the cut lines of an engraver.
    """

    shapes: tuple[Shape, ...]
    transform: Transform = IDENTITY
    clip: Path | None = None
    layer: str = ""


Shape = Line | Polyline | Path | Text | Picture | Group | Link | Bookmark
