"""A page as text, one line a shape: two versions of a drawing compared line by line, without rendering."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from permitgen.documents.canvas.shapes import Bookmark, Group, Line, Link, Path, Picture, Polyline, Shape, Text
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.canvas.to_svg import path_data


def shape_lines(shapes: Iterable[Shape], indent: int = 0) -> Iterator[str]:
    """Yield one line for each shape, the shapes of a group indented below it; lengths in mm to a hundredth."""
    space = "  " * indent
    for shape in shapes:
        yield space + _line_for(shape)
        if isinstance(shape, Group):
            yield from shape_lines(shape.shapes, indent + 1)


def _line_for(shape: Shape) -> str:
    match shape:
        case Line():
            return f"line {shape.x1:.2f},{shape.y1:.2f} {shape.x2:.2f},{shape.y2:.2f} {_pen(shape.pen)}"
        case Text():
            style = shape.style
            return (
                f"text {shape.x:.2f},{shape.y:.2f} {shape.anchor} {shape.rotation_deg:g}°"
                f" {style.face.name} {style.size_mm:.2f} {style.color.name} {shape.text!r}"
            )
        case Polyline():
            points = " ".join(f"{x:.2f},{y:.2f}" for x, y in shape.points)
            return f"polyline {points} {_pen(shape.pen)} fill {shape.fill.name if shape.fill else 'none'}"
        case Path():
            return f"path {path_data(shape.segments)} {_pen(shape.pen)} fill {shape.fill.name if shape.fill else 'none'}"
        case Group():
            matrix = " ".join(f"{getattr(shape.transform, name):.4g}" for name in "abcdef")
            return f"group {shape.layer} [{matrix}]{' clipped' if shape.clip else ''}".replace("  ", " ")
        case _:
            return _other_line(shape)


def _other_line(shape: Picture | Link | Bookmark) -> str:
    if isinstance(shape, Bookmark):
        return f"bookmark {shape.key!r} {shape.title!r} {shape.y:.2f} level {shape.level}"
    box = f"{shape.x:.2f},{shape.y:.2f} {shape.width:.2f} by {shape.height:.2f}"
    if isinstance(shape, Link):
        return f"link {box} {shape.url or '#' + shape.bookmark}"
    return f"picture {box} {len(shape.data)} bytes {shape.says!r}"


def _pen(pen: Pen | None) -> str:
    if pen is None:
        return "no pen"
    dashes = " dash " + ",".join(f"{length:g}" for length in pen.dash_mm) if pen.dash_mm else ""
    return f"pen {pen.width_mm:g} {pen.color.name}{dashes}"
