"""Marks that the diagrams of labels share: hatched arrays, numbered places, and the legend that explains them."""

from __future__ import annotations

from collections.abc import Sequence

from permitgen.documents.canvas.figures import circle, hatching
from permitgen.documents.canvas.shapes import Group, Point, Polyline, Shape, Text, moved
from permitgen.documents.canvas.styles import Pen, TextStyle, capitals
from permitgen.documents.canvas.text_flow import break_lines
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.fonts.faces import SANS_SEMIBOLD
from permitgen.documents.labels.ink import Inks
from permitgen.views.label import RoofDiagram

LEGEND_CAP_MM = 2.6
_ROW_MM, _SWATCH_MM, _GAP_MM = 4.6, 5.0, 1.6
_MARKER_RADIUS_MM = 2.2
_OUTLINE_MM, _HATCH_MM = 0.6, 0.3
_DOWN_DEG, _UP_DEG = 60.0, -30.0


def array_hatching(outline: Sequence[Point], inks: Inks, *, stays_energized: bool, spacing: float = 1.5) -> tuple[Shape, ...]:
    """Return the outline and hatching of an array: one direction where it is shut down, two and red where it stays energized."""
    color = inks.energized if stays_energized else inks.line
    pen = Pen(_HATCH_MM, color)
    lines = hatching(outline, pen=pen, spacing=spacing, angle_deg=_DOWN_DEG)
    if stays_energized:
        lines += hatching(outline, pen=pen, spacing=spacing, angle_deg=_UP_DEG)
    return (*lines, Polyline(tuple(outline), Pen(_OUTLINE_MM, color, join="round"), closed=True))


def number_marker(at: Point, number: int, inks: Inks) -> tuple[Shape, ...]:
    """Return a numbered disc that marks the place of an initiation device."""
    style = capitals(SANS_SEMIBOLD, 2.1, inks.paper)
    disc = circle(*at, _MARKER_RADIUS_MM, fill=inks.line, pen=Pen(0.5, inks.paper))
    return (disc, Text(at[0], at[1] + style.cap_height_mm / 2, str(number), style, anchor="middle"))


def legend_rows(diagram: RoofDiagram, width_mm: float, inks: Inks) -> tuple[tuple[Shape, ...], float]:
    """Return the legend of a diagram in rows at most ``width_mm`` wide, origin top left, and its height."""
    style = capitals(SANS_SEMIBOLD, LEGEND_CAP_MM, inks.line)
    shapes: list[Shape] = []
    y = _GAP_MM
    for mark, words in _entries(diagram, inks):
        shapes.append(Group(mark, transform=moved(0.0, y)))
        for line in break_lines(words, style, width_mm - _SWATCH_MM - _GAP_MM):
            shapes.append(Text(_SWATCH_MM + _GAP_MM, y + LEGEND_CAP_MM + 0.3, line, style))
            y += _ROW_MM
    return tuple(shapes), y


def legend_width(diagram: RoofDiagram, inks: Inks) -> float:
    """Return the width at which no legend text is broken."""
    style: TextStyle = capitals(SANS_SEMIBOLD, LEGEND_CAP_MM, inks.line)
    return max(text_width(words, style) for _, words in _entries(diagram, inks)) + _SWATCH_MM + _GAP_MM + 0.1


def _entries(diagram: RoofDiagram, inks: Inks) -> list[tuple[tuple[Shape, ...], str]]:
    some_stay = any(array.stays_energized for array in diagram.arrays)
    some_stop = any(not array.stays_energized for array in diagram.arrays)
    entries: list[tuple[tuple[Shape, ...], str]] = []
    if some_stop:
        entries.append((_swatch(inks, stays_energized=False), "ARRAY, SHUT DOWN" if some_stay else "SOLAR ARRAY"))
    if some_stay:
        entries.append((_swatch(inks, stays_energized=True), "ARRAY, STAYS ENERGIZED"))
    for number, (tag, _place) in enumerate(diagram.initiators, start=1):
        entries.append((number_marker((_SWATCH_MM / 2, LEGEND_CAP_MM / 2 + 0.3), number, inks), tag))
    return entries


def _swatch(inks: Inks, *, stays_energized: bool) -> tuple[Shape, ...]:
    outline = ((0.0, 0.0), (_SWATCH_MM, 0.0), (_SWATCH_MM, LEGEND_CAP_MM + 0.6), (0.0, LEGEND_CAP_MM + 0.6))
    return array_hatching(outline, inks, stays_energized=stays_energized, spacing=1.1)
