"""Glyphs as paths: for engravers, and wherever a program that opens the file has no fonts."""

from __future__ import annotations

from functools import lru_cache

from permitgen.documents.canvas.shapes import Close, Curve, Group, Move, Path, Segment, Straight, Text, rotated
from permitgen.documents.canvas.text_width import require_printable, text_width
from permitgen.documents.fonts.faces import Face, spelled_for
from permitgen.documents.fonts.truetype import Contour, Point


@lru_cache(maxsize=4096)
def glyph_segments(character: str, face: Face) -> tuple[Segment, ...]:
    """Return the outline of one character in parts of the em, origin on the baseline, y down."""
    font = face.font
    em = font.units_per_em
    segments: list[Segment] = []
    for contour in font.contours(font.characters[ord(character)]):
        segments.extend(_segments_of(tuple((x / em, -y / em, on) for x, y, on in contour)))
    return tuple(segments)


@lru_cache(maxsize=4096)
def glyph_path(character: str, face: Face) -> str:
    """Return the outline of one character as SVG path data in units of the face, y down, each point from the one before; empty for a space.

    Quadratic curves stay what they are in the face, so that nothing is rounded.
    """
    font = face.font
    return "".join(_relative(_with_implied_points(contour)) for contour in font.contours(font.characters[ord(character)]))


def _relative(points: list[Point]) -> str:
    (x, y, _), control = points[0], None
    parts = [f"M{_numbers(x, -y)}"]
    for point in (*points[1:], points[0]):
        if not point[2]:
            control = point
            continue
        by = point[0] - x, y - point[1]
        if control is not None:
            parts.append(f"q{_numbers(control[0] - x, y - control[1], *by)}")
        elif point is not points[0]:  # the last edge is closed by itself
            parts.append(f"h{by[0]:g}" if not by[1] else f"v{by[1]:g}" if not by[0] else f"l{_numbers(*by)}")
        (x, y, _), control = point, None
    return "".join((*parts, "Z"))


def _numbers(*values: float) -> str:
    """Return numbers as path data takes them: a sign begins a new one."""
    return " ".join(f"{value:g}" for value in values).replace(" -", "-")


def _segments_of(contour: Contour) -> list[Segment]:
    """Turn a contour of quadratic curves into straight edges and cubic curves."""
    points = _with_implied_points(contour)
    start = points[0]
    segments: list[Segment] = [Move(start[0], start[1])]
    last, control = start, None
    for point in (*points[1:], start):
        if not point[2]:
            control = point
        elif control is None:
            segments.append(Straight(point[0], point[1]))
            last = point
        else:
            segments.append(_raised(last, control, point))
            last, control = point, None
    return [*segments, Close()]


def _with_implied_points(contour: Contour) -> list[Point]:
    """Begin at a point on the curve, and put one between each two control points that follow each other."""
    points: list[Point] = []
    for point, following in zip(contour, (*contour[1:], contour[0]), strict=True):
        points.append(point)
        if not point[2] and not following[2]:
            points.append(((point[0] + following[0]) / 2, (point[1] + following[1]) / 2, True))
    first = next(index for index, point in enumerate(points) if point[2])
    return points[first:] + points[:first]


def _raised(start: Point, control: Point, end: Point) -> Curve:
    """Return the cubic curve that is the same as a quadratic one."""
    (x0, y0, _), (x1, y1, _), (x2, y2, _) = start, control, end
    return Curve(x0 + 2 / 3 * (x1 - x0), y0 + 2 / 3 * (y1 - y0), x2 + 2 / 3 * (x1 - x2), y2 + 2 / 3 * (y1 - y2), x2, y2)


def text_outline(text: Text) -> Group:
    """Return a line of text as one filled path. Raises MissingGlyphError for a character the face cannot print."""
    style = text.style
    require_printable(text.text, style.face)
    x = text.start(text_width(text.text, style))
    segments: list[Segment] = []
    for character in spelled_for(text.text, style.face):
        segments.extend(_placed(segment, x, text.y, style.size_mm) for segment in glyph_segments(character, style.face))
        x += style.face.advance_by_character[character] * style.size_mm + style.tracking_mm
    return Group((Path(tuple(segments), fill=style.color),), transform=rotated(text.rotation_deg, text.x, text.y))


def _placed(segment: Segment, x: float, y: float, size: float) -> Segment:
    match segment:
        case Move():
            return Move(x + segment.x * size, y + segment.y * size)
        case Straight():
            return Straight(x + segment.x * size, y + segment.y * size)
        case Curve():
            return Curve(
                x + segment.x1 * size,
                y + segment.y1 * size,
                x + segment.x2 * size,
                y + segment.y2 * size,
                x + segment.x * size,
                y + segment.y * size,
            )
        case Close():
            return segment
