"""Where shapes lie on the page: boxes for overlap and margin checks without rendering. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from permitgen.documents.canvas.page import Page
from permitgen.documents.canvas.shapes import (
    IDENTITY,
    Bookmark,
    Curve,
    Group,
    Line,
    Link,
    Move,
    Path,
    Picture,
    Point,
    Polyline,
    Shape,
    Straight,
    Text,
    Transform,
    rotated,
)
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.fonts.faces import Face, spelled_for


class Box(NamedTuple):
    """An upright rectangle by its edges; a tuple, since packing a sheet makes a hundred thousand of them."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width in mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height in mm."""
        return self.bottom - self.top

    def joined(self, other: Box) -> Box:
        """Return the smallest box around both."""
        return Box(min(self.left, other.left), min(self.top, other.top), max(self.right, other.right), max(self.bottom, other.bottom))

    def shared(self, other: Box) -> Box | None:
        """Return the part that lies in both, or None."""
        left, top = max(self.left, other.left), max(self.top, other.top)
        right, bottom = min(self.right, other.right), min(self.bottom, other.bottom)
        return Box(left, top, right, bottom) if left < right and top < bottom else None

    def grown(self, margin: float) -> Box:
        """Return the box with ``margin`` added on all sides (taken away when negative)."""
        return Box(self.left - margin, self.top - margin, self.right + margin, self.bottom + margin)

    def contains(self, other: Box, tolerance: float = 1e-6) -> bool:
        """Return whether ``other`` lies wholly inside."""
        return (
            other.left >= self.left - tolerance
            and other.top >= self.top - tolerance
            and other.right <= self.right + tolerance
            and other.bottom <= self.bottom + tolerance
        )


def box_of_points(points: Iterable[Point]) -> Box:
    """Return the smallest box around points."""
    listed = tuple(points)
    xs, ys = [x for x, _ in listed], [y for _, y in listed]
    return Box(min(xs), min(ys), max(xs), max(ys))


@lru_cache(maxsize=16384)
def _ink_above_and_below(text: str, face: Face) -> tuple[float, float]:
    """Return how far the ink of a text reaches above and below the baseline, as parts of the em."""
    characters, font = face.font.characters, face.font
    drawn = (font.bounds(characters[ord(character)]) for character in spelled_for(text, face) if ord(character) in characters)
    inked = [bounds for bounds in drawn if bounds]
    if not inked:
        return face.cap_height, 0.0
    em = font.units_per_em
    return max(bounds[3] for bounds in inked) / em, -min(bounds[1] for bounds in inked) / em


def text_box(text: Text, transform: Transform = IDENTITY) -> Box:
    """Return the box of a text: its advance width by the height of its ink."""
    width = text_width(text.text, text.style)
    left = text.start(width)
    above, below = (part * text.style.size_mm for part in _ink_above_and_below(text.text, text.style.face))
    corners = ((left, text.y - above), (left + width, text.y - above), (left + width, text.y + below), (left, text.y + below))
    turn = transform.after(rotated(text.rotation_deg, text.x, text.y)) if text.rotation_deg else transform
    return box_of_points(turn.apply(*corner) for corner in corners)


def _points_of(shape: Line | Polyline | Path | Picture | Link) -> tuple[Point, ...]:
    match shape:
        case Line():
            return (shape.x1, shape.y1), (shape.x2, shape.y2)
        case Polyline():
            return shape.points
        case Path():
            return tuple(_path_points(shape))
        case _:
            right, bottom = shape.x + shape.width, shape.y + shape.height
            return (shape.x, shape.y), (right, shape.y), (right, bottom), (shape.x, bottom)


def _path_points(path: Path) -> Iterator[Point]:
    """Yield points whose box is that of the path; curves by their extreme points."""
    last: Point = (0.0, 0.0)
    for segment in path.segments:
        match segment:
            case Move(x, y) | Straight(x, y):
                last = (x, y)
                yield last
            case Curve():
                yield from _curve_extremes(last, segment)
                last = (segment.x, segment.y)
                yield last


def _curve_extremes(start: Point, curve: Curve) -> Iterator[Point]:
    """Yield eight points along the curve: within 0.5 % of its true extremes for the curves drawn here."""
    for step in range(1, 8):
        t = step / 8
        u = 1 - t
        weights = (u**3, 3 * u * u * t, 3 * u * t * t, t**3)
        xs, ys = (start[0], curve.x1, curve.x2, curve.x), (start[1], curve.y1, curve.y2, curve.y)
        yield (sum(w * x for w, x in zip(weights, xs, strict=True)), sum(w * y for w, y in zip(weights, ys, strict=True)))


def _pen_reach(shape: Shape) -> float:
    pen = shape.pen if isinstance(shape, Line | Polyline | Path) else None
    return pen.width_mm / 2 if pen else 0.0


def placed_boxes(shapes: Iterable[Shape], transform: Transform = IDENTITY) -> Iterator[tuple[Shape, Box]]:
    """Yield every shape that leaves ink, out of its groups, with its box on the page (clips are taken into account)."""
    for shape in shapes:
        match shape:
            case Group():
                yield from _group_boxes(shape, transform)
            case Text():
                if shape.text.strip():
                    yield shape, text_box(shape, transform)
            case Bookmark() | Link():
                continue
            case _:
                scale = max(abs(transform.a) + abs(transform.c), abs(transform.b) + abs(transform.d))
                box = box_of_points(transform.apply(*point) for point in _points_of(shape))
                yield shape, box.grown(_pen_reach(shape) * scale)


def _group_boxes(group: Group, transform: Transform) -> Iterator[tuple[Shape, Box]]:
    inner = placed_boxes(group.shapes, transform.after(group.transform))
    if group.clip is None:
        yield from inner
        return
    window = box_of_points(transform.apply(*point) for point in _path_points(group.clip))
    for shape, box in inner:
        visible = box.shared(window)
        if visible is not None:
            yield shape, visible


def bounds(shapes: Iterable[Shape]) -> Box | None:
    """Return the box around everything that leaves ink, or None when nothing does."""
    joined: Box | None = None
    for _shape, box in placed_boxes(shapes):
        joined = box if joined is None else joined.joined(box)
    return joined


def text_overlaps(shapes: Iterable[Shape], tolerance_mm: float = 0.1) -> tuple[tuple[str, str], ...]:
    """Return the pairs of texts whose ink boxes share more than ``tolerance_mm`` in both directions."""
    texts = [(shape.text, box) for shape, box in placed_boxes(shapes) if isinstance(shape, Text)]
    texts.sort(key=lambda item: item[1].top)
    found: list[tuple[str, str]] = []
    for index, (one, box) in enumerate(texts):
        for other, other_box in texts[index + 1 :]:
            if other_box.top >= box.bottom:
                break
            shared = box.shared(other_box)
            if shared and shared.width > tolerance_mm and shared.height > tolerance_mm:
                found.append((one, other))
    return tuple(found)


def outside(page: Page, margin_mm: float = 0.0) -> tuple[Shape, ...]:
    """Return the shapes that reach over the edge of the page or into a margin along it."""
    printable = Box(0, 0, page.width_mm, page.height_mm).grown(-margin_mm)
    return tuple(shape for shape, box in placed_boxes(page.shapes) if not printable.contains(box))


def shifted(shape: Shape, dx: float, dy: float) -> Shape:
    """Return a shape moved by ``dx`` and ``dy`` mm."""
    match shape:
        case Line():
            return replace(shape, x1=shape.x1 + dx, y1=shape.y1 + dy, x2=shape.x2 + dx, y2=shape.y2 + dy)
        case Polyline():
            return replace(shape, points=tuple((x + dx, y + dy) for x, y in shape.points))
        case Text() | Picture() | Link():
            return replace(shape, x=shape.x + dx, y=shape.y + dy)
        case Bookmark():
            return replace(shape, y=shape.y + dy)
        case _:
            return Group((shape,), transform=Transform(e=dx, f=dy))
