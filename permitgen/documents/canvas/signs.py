"""Signs that are drawn as paths because most faces lack them: tick boxes, check mark, warning triangle, ground, arrows.

A text may hold these characters in any face: where the face has no glyph, the sign is drawn at the same place and
height. Geometry in parts of the em for a cap height of 0.7 em, origin on the baseline, y down.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from permitgen.documents.canvas.colors import WHITE, Color
from permitgen.documents.canvas.figures import circle, polygon, rectangle
from permitgen.documents.canvas.shapes import Group, Line, Polyline, Shape, Text, Transform, rotated
from permitgen.documents.canvas.styles import Pen, TextStyle
from permitgen.documents.fonts.faces import Face, missing_glyphs, spelled_for

_STROKE = 0.065
_DRAWN_FOR_CAP_HEIGHT = 0.7


@dataclass(frozen=True, slots=True)
class Sign:
    """``advance`` is the room the sign takes in the line, as a part of the em; ``draw`` returns its shapes in em."""

    name: str
    advance: float
    draw: Callable[[Color], tuple[Shape, ...]]


def _pen(color: Color, width: float = _STROKE) -> Pen:
    return Pen(width, color, join="miter")


def _box(color: Color) -> tuple[Shape, ...]:
    return (rectangle(0.08, -0.7, 0.74, 0.74, pen=_pen(color, 0.055)),)


def _tick(color: Color) -> tuple[Shape, ...]:
    return (Polyline(((0.1, -0.33), (0.32, -0.08), (0.74, -0.66)), _pen(color, 0.1)),)


def _ticked_box(color: Color) -> tuple[Shape, ...]:
    return (*_box(color), Polyline(((0.22, -0.36), (0.4, -0.14), (0.7, -0.56)), _pen(color, 0.09)))


def _cross(color: Color) -> tuple[Shape, ...]:
    return (Line(0.16, -0.62, 0.7, -0.08, _pen(color, 0.1)), Line(0.16, -0.08, 0.7, -0.62, _pen(color, 0.1)))


def _crossed_box(color: Color) -> tuple[Shape, ...]:
    return (*_box(color), Line(0.25, -0.53, 0.65, -0.13, _pen(color)), Line(0.25, -0.13, 0.65, -0.53, _pen(color)))


def _warning(color: Color) -> tuple[Shape, ...]:
    triangle = polygon(((0.5, -0.8), (0.98, 0.04), (0.02, 0.04)), fill=color)
    mark = polygon(((0.445, -0.54), (0.555, -0.54), (0.525, -0.22), (0.475, -0.22)), fill=WHITE)
    return (triangle, mark, circle(0.5, -0.12, 0.055, fill=WHITE))


def _ground(color: Color) -> tuple[Shape, ...]:
    bars = ((0.1, 0.7, -0.36), (0.2, 0.6, -0.21), (0.3, 0.5, -0.06))
    return (Line(0.4, -0.75, 0.4, -0.36, _pen(color)), *(Line(left, y, right, y, _pen(color)) for left, right, y in bars))


def _arrow(turn_deg: float) -> Callable[[Color], tuple[Shape, ...]]:
    def draw(color: Color) -> tuple[Shape, ...]:
        shaft = Line(0.08, -0.35, 0.8, -0.35, _pen(color, 0.08))
        head = polygon(((0.94, -0.35), (0.62, -0.55), (0.62, -0.15)), fill=color)
        return (Group((shaft, head), transform=rotated(turn_deg, 0.5, -0.35)),)

    return draw


def _diameter(color: Color) -> tuple[Shape, ...]:
    return (circle(0.42, -0.35, 0.3, pen=_pen(color)), Line(0.12, 0.02, 0.72, -0.72, _pen(color)))


def _direct_current(color: Color) -> tuple[Shape, ...]:
    dashes = tuple(Line(left, -0.22, left + 0.17, -0.22, _pen(color)) for left in (0.08, 0.335, 0.59))
    return (Line(0.08, -0.46, 0.76, -0.46, _pen(color)), *dashes)


def _disc(color: Color) -> tuple[Shape, ...]:
    return (circle(0.4, -0.35, 0.26, fill=color),)


def _ring(color: Color) -> tuple[Shape, ...]:
    return (circle(0.4, -0.35, 0.26, pen=_pen(color)),)


def _triangle(color: Color) -> tuple[Shape, ...]:
    return (polygon(((0.42, -0.66), (0.78, -0.04), (0.06, -0.04)), fill=color),)


SIGNS: dict[str, Sign] = {
    "☐": Sign("tick box", 0.9, _box),
    "☑": Sign("ticked box", 0.9, _ticked_box),
    "☒": Sign("crossed box", 0.9, _crossed_box),
    "✓": Sign("check mark", 0.84, _tick),
    "✗": Sign("cross mark", 0.86, _cross),
    "⚠": Sign("warning triangle", 1.0, _warning),
    "⏚": Sign("ground", 0.8, _ground),
    "→": Sign("arrow right", 1.0, _arrow(0)),
    "↑": Sign("arrow up", 1.0, _arrow(90)),
    "←": Sign("arrow left", 1.0, _arrow(180)),
    "↓": Sign("arrow down", 1.0, _arrow(270)),
    "⌀": Sign("diameter", 0.84, _diameter),
    "⎓": Sign("direct current", 0.84, _direct_current),
    "●": Sign("disc", 0.8, _disc),
    "○": Sign("ring", 0.8, _ring),
    "▲": Sign("triangle", 0.84, _triangle),
}


@lru_cache(maxsize=8192)
def drawn_signs(text: str, face: Face) -> frozenset[str]:
    """Return the characters of ``text`` that are drawn because ``face`` has no glyph for them."""
    return frozenset(character for character in missing_glyphs(text, face) if character in SIGNS)


def unprintable(text: str, face: Face) -> tuple[str, ...]:
    """Return the characters that ``face`` lacks and that are not drawn either."""
    return tuple(character for character in missing_glyphs(text, face) if character not in SIGNS)


def advance_of(character: str, style: TextStyle) -> float:
    """Return the advance width in mm of one character, as a glyph or as a drawn sign; 0 when there is neither."""
    known = style.face.advance_by_character
    if character in known:
        return known[character] * style.size_mm + style.tracking_mm
    sign = SIGNS.get(character)
    return sign.advance * style.size_mm * style.face.cap_height / _DRAWN_FOR_CAP_HEIGHT + style.tracking_mm if sign else 0.0


def with_signs_drawn(text: Text, width_mm: float) -> Group:
    """Return ``text``, which is ``width_mm`` wide, as a group: pieces of text and the paths of its drawn signs."""
    style = text.style
    x = text.start(width_mm)
    shapes: list[Shape] = []
    pending, pending_x = "", x
    for character in spelled_for(text.text, style.face):
        if character in style.face.advance_by_character or character not in SIGNS:
            pending += character
        else:
            if pending:
                shapes.append(Text(pending_x, text.y, pending, style))
            shapes.append(_placed(SIGNS[character], x, text.y, style))
            pending, pending_x = "", x + advance_of(character, style)
        x += advance_of(character, style)
    if pending:
        shapes.append(Text(pending_x, text.y, pending, style))
    return Group(tuple(shapes), transform=rotated(text.rotation_deg, text.x, text.y))


def _placed(sign: Sign, x: float, y: float, style: TextStyle) -> Group:
    size = style.size_mm * style.face.cap_height / _DRAWN_FOR_CAP_HEIGHT
    return Group(sign.draw(style.color), transform=Transform(size, 0, 0, size, x, y))
