"""Common figures as paths: rectangles, circles, arcs, polygons, arrowheads, hatching. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

from permitgen.documents.canvas.colors import Color
from permitgen.documents.canvas.shapes import Close, Curve, Line, Move, Path, Point, Segment, Straight
from permitgen.documents.canvas.styles import Pen

_QUARTER = 4 / 3 * (math.sqrt(2) - 1)
"""Distance of the control points that makes a cubic curve follow a quarter of the unit circle (error below 0.03 %)."""


def rectangle(x: float, y: float, width: float, height: float, *, pen: Pen | None = None, fill: Color | None = None) -> Path:
    """Return a rectangle by its top left corner."""
    corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    return polygon(corners, pen=pen, fill=fill)


def polygon(points: Sequence[Point], *, pen: Pen | None = None, fill: Color | None = None) -> Path:
    """Return the closed polygon through ``points``."""
    first, *others = points
    return Path((Move(*first), *(Straight(*point) for point in others), Close()), pen=pen, fill=fill)


def rounded_rectangle(
    x: float, y: float, width: float, height: float, *, radius: float, pen: Pen | None = None, fill: Color | None = None
) -> Path:
    """Return a rectangle with round corners; the radius is cut down to half the shorter side."""
    r = min(radius, width / 2, height / 2)
    if r <= 0:
        return rectangle(x, y, width, height, pen=pen, fill=fill)
    k = r * (1 - _QUARTER)
    right, bottom = x + width, y + height
    segments: tuple[Segment, ...] = (
        Move(x + r, y),
        Straight(right - r, y),
        Curve(right - k, y, right, y + k, right, y + r),
        Straight(right, bottom - r),
        Curve(right, bottom - k, right - k, bottom, right - r, bottom),
        Straight(x + r, bottom),
        Curve(x + k, bottom, x, bottom - k, x, bottom - r),
        Straight(x, y + r),
        Curve(x, y + k, x + k, y, x + r, y),
        Close(),
    )
    return Path(segments, pen=pen, fill=fill)


def circle(x: float, y: float, radius: float, *, pen: Pen | None = None, fill: Color | None = None) -> Path:
    """Return a circle about its center."""
    return Path((*_arc_segments(x, y, radius, 0, 360), Close()), pen=pen, fill=fill)


def arc(x: float, y: float, radius: float, *, start_deg: float, end_deg: float, pen: Pen) -> Path:
    """Return an arc about (x, y), angles in degrees counter-clockwise as seen from the direction of x."""
    return Path(_arc_segments(x, y, radius, start_deg, end_deg), pen=pen)


def _arc_segments(x: float, y: float, radius: float, start_deg: float, end_deg: float) -> tuple[Segment, ...]:
    steps = max(1, math.ceil(abs(end_deg - start_deg) / 90 - 1e-9))
    step = math.radians(end_deg - start_deg) / steps
    reach = 4 / 3 * math.tan(step / 4) * radius
    angle = math.radians(start_deg)
    segments: list[Segment] = [Move(x + radius * math.cos(angle), y - radius * math.sin(angle))]
    for _ in range(steps):
        cosine, sine = math.cos(angle), math.sin(angle)
        angle += step
        next_cosine, next_sine = math.cos(angle), math.sin(angle)
        segments.append(
            Curve(
                x + radius * cosine - reach * sine,
                y - radius * sine - reach * cosine,
                x + radius * next_cosine + reach * next_sine,
                y - radius * next_sine + reach * next_cosine,
                x + radius * next_cosine,
                y - radius * next_sine,
            )
        )
    return tuple(segments)


def arrowhead(tip: Point, tail: Point, *, length: float, width: float, fill: Color) -> Path:
    """Return a filled triangle with its point at ``tip``, seen coming from ``tail``."""
    run = math.dist(tip, tail) or 1.0
    ux, uy = (tip[0] - tail[0]) / run, (tip[1] - tail[1]) / run
    base = (tip[0] - ux * length, tip[1] - uy * length)
    half = width / 2
    return polygon((tip, (base[0] - uy * half, base[1] + ux * half), (base[0] + uy * half, base[1] - ux * half)), fill=fill)


def hatching(outline: Sequence[Point], *, pen: Pen, spacing: float, angle_deg: float = 45.0) -> tuple[Line, ...]:
    """Return the parallel lines that fill a polygon (also a concave one), ``spacing`` apart, at an angle as seen."""
    cosine, sine = math.cos(math.radians(angle_deg)), -math.sin(math.radians(angle_deg))
    turned = [(x * cosine + y * sine, y * cosine - x * sine) for x, y in outline]
    lowest = math.ceil(min(y for _, y in turned) / spacing)
    highest = math.floor(max(y for _, y in turned) / spacing)
    lines: list[Line] = []
    for step in range(lowest, highest + 1):
        level = step * spacing
        crossings = sorted(_crossings(turned, level))
        for left, right in zip(crossings[::2], crossings[1::2], strict=False):
            lines.append(
                Line(
                    left * cosine - level * sine,
                    left * sine + level * cosine,
                    right * cosine - level * sine,
                    right * sine + level * cosine,
                    pen,
                )
            )
    return tuple(lines)


def _crossings(outline: Sequence[Point], level: float) -> list[float]:
    """Where the edges of a polygon cross a level; an end point counts with the edge below it only."""
    found: list[float] = []
    for (x1, y1), (x2, y2) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (y1 <= level) != (y2 <= level):
            found.append(x1 + (level - y1) / (y2 - y1) * (x2 - x1))
    return found
