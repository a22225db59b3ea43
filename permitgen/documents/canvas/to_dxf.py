"""Writes a page as a DXF drawing in true millimeters for engravers and drafters: closed outlines, layers by what a tool does with them.

Letters and filled figures are closed polylines on a layer of their color (``FILL-BLACK``), strokes on ``LINE``, the cut on ``CUT``; a
group that names another layer keeps it. Origin at the lower left corner. The same bytes for the same page.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from permitgen.documents.canvas.bounds import Box, bounds
from permitgen.documents.canvas.glyph_outlines import text_outline
from permitgen.documents.canvas.page import Page
from permitgen.documents.canvas.shapes import (
    IDENTITY,
    Close,
    Curve,
    Group,
    Line,
    Move,
    Path,
    Polyline,
    Segment,
    Shape,
    Straight,
    Text,
    Transform,
)
from permitgen.documents.canvas.signs import drawn_signs, with_signs_drawn
from permitgen.documents.canvas.text_width import text_width

Point = tuple[float, float]
_FORMAT = "R2010"
_PARTS_OF_A_CURVE = 10
"""Straight parts of a curve: at letter heights of these drawings they stray by less than a hundredth of a millimeter."""
_SMALLEST_MM = 1e-6


class DxfLibraryMissingError(RuntimeError):
    """The library that writes DXF is not installed; the message says how to get it."""


@dataclass(frozen=True, slots=True)
class _Stroke:
    layer: str
    points: tuple[Point, ...]
    closed: bool


def dxf_bytes(page: Page) -> bytes:
    """Return the drawing.

    Raises:
        DxfLibraryMissingError: the extra ``dxf`` is not installed.
        MissingGlyphError: a character that its face cannot print.
    """
    ezdxf = _library()
    fixed = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True  # no clock and no random number in a file
    try:
        drawing = ezdxf.new(_FORMAT, units=ezdxf.units.MM)
        space = drawing.modelspace()
        for stroke in _strokes(page.shapes, IDENTITY, None, ""):
            if stroke.layer not in drawing.layers:
                drawing.layers.add(stroke.layer)
            points = [(x, page.height_mm - y) for x, y in stroke.points]
            space.add_lwpolyline(points, close=stroke.closed, dxfattribs={"layer": stroke.layer})
        written = io.StringIO()
        drawing.write(written)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = fixed
    return written.getvalue().encode("utf-8")


def _library() -> Any:
    try:
        import ezdxf
        import ezdxf.units
    except ImportError as error:
        raise DxfLibraryMissingError('DXF needs the library ezdxf; install it with: pip install "permitgen[dxf]"') from error
    return ezdxf


def _strokes(shapes: Iterable[Shape], place: Transform, clip: Box | None, layer: str) -> Iterator[_Stroke]:
    for shape in shapes:
        match shape:
            case Group():
                edge = _clip_of(shape, place, clip)
                yield from _strokes(shape.shapes, place.after(shape.transform), edge, _named(shape.layer) or layer)
            case Text() if shape.text:
                signs = drawn_signs(shape.text, shape.style.face)
                group = with_signs_drawn(shape, text_width(shape.text, shape.style)) if signs else text_outline(shape)
                yield from _strokes((group,), place, clip, layer)
            case Path() | Polyline() | Line():
                for closed, points in _outlines(shape):
                    yield from _cut_off(_Stroke(layer or _layer_of(shape), tuple(place.apply(*p) for p in points), closed), clip)
            case _:
                pass  # links, bookmarks and photographs are nothing that a tool cuts


def _named(layer: str) -> str:
    return "" if layer == "engrave" else layer.upper()


def _layer_of(shape: Path | Polyline | Line) -> str:
    fill = None if isinstance(shape, Line) else shape.fill
    return f"FILL-{fill.name.removeprefix('safety_').upper().replace(' ', '_')}" if fill is not None else "LINE"


def _outlines(shape: Path | Polyline | Line) -> Iterator[tuple[bool, list[Point]]]:
    match shape:
        case Line():
            yield False, [(shape.x1, shape.y1), (shape.x2, shape.y2)]
        case Polyline():
            yield shape.closed or shape.fill is not None, list(shape.points)
        case Path():
            yield from _contours(shape.segments)


def _contours(segments: Iterable[Segment]) -> Iterator[tuple[bool, list[Point]]]:
    points: list[Point] = []
    for segment in segments:
        match segment:
            case Move(x, y):
                if len(points) > 1:
                    yield False, points
                points = [(x, y)]
            case Straight(x, y):
                points.append((x, y))
            case Curve():
                points += _flattened(points[-1], segment)
            case Close():
                yield True, points
                points = points[:1]
    if len(points) > 1:
        yield False, points


def _flattened(start: Point, curve: Curve) -> list[Point]:
    found = []
    for number in range(1, _PARTS_OF_A_CURVE + 1):
        t = number / _PARTS_OF_A_CURVE
        a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
        found.append((a * start[0] + b * curve.x1 + c * curve.x2 + d * curve.x, a * start[1] + b * curve.y1 + c * curve.y2 + d * curve.y))
    return found


def _clip_of(group: Group, place: Transform, clip: Box | None) -> Box | None:
    """Return the box within which a group shows; groups are cut off at rectangles."""
    own = bounds((Group((group.clip,), transform=place),)) if group.clip is not None else None
    if own is None or clip is None:
        return own or clip
    return Box(max(own.left, clip.left), max(own.top, clip.top), min(own.right, clip.right), min(own.bottom, clip.bottom))


def _cut_off(stroke: _Stroke, clip: Box | None) -> Iterator[_Stroke]:
    """Yield what of a stroke lies within a box; a closed outline stays closed along the edge."""
    if clip is None:
        yield stroke
        return
    points = list(stroke.points)
    for axis, limit, sign in ((0, clip.left, 1), (0, clip.right, -1), (1, clip.top, 1), (1, clip.bottom, -1)):
        points = _beyond(points, axis, limit, sign, closed=stroke.closed)
    if len(points) > 1:
        yield _Stroke(stroke.layer, tuple(points), stroke.closed)


def _beyond(points: list[Point], axis: int, limit: float, sign: int, *, closed: bool) -> list[Point]:
    """Return a polyline cut off at one edge (Sutherland and Hodgman)."""
    found: list[Point] = []
    for index, here in enumerate(points):
        before = points[index - 1] if index or closed else None
        inside = sign * (here[axis] - limit) >= -_SMALLEST_MM
        if before is not None and inside != (sign * (before[axis] - limit) >= -_SMALLEST_MM):
            share = (limit - before[axis]) / (here[axis] - before[axis])
            found.append((before[0] + share * (here[0] - before[0]), before[1] + share * (here[1] - before[1])))
        if inside:
            found.append(here)
    return found
