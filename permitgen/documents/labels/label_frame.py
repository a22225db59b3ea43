"""Draws a set label: fields clipped to round corners, rules, frame, safety alert symbol, letters."""

from __future__ import annotations

from collections.abc import Sequence

from permitgen.documents.canvas.figures import rectangle, rounded_rectangle
from permitgen.documents.canvas.shapes import Group, Line, Shape, Text, moved
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.labels.alert_symbol import alert_symbol
from permitgen.documents.labels.ink import Inks
from permitgen.documents.labels.label_fields import SYMBOL_TO_LETTERS, SetField
from permitgen.views.label import LabelView

FRAME_MM = 1.5
"""From the cut line to the frame: a cut that is a little off does not reach it."""
CORNER_RADIUS_MM = 3.0
_FRAME_PEN_MM, _FIELD_RULE_MM, _THIN_RULE_MM = 0.7, 0.5, 0.25
_KEYLINE_INSET_MM, _KEYLINE_MM = 1.1, 0.5


def framed(
    view: LabelView, fields: Sequence[SetField], size: tuple[float, float], picture: tuple[Shape, ...], inks: Inks
) -> tuple[Shape, ...]:
    """Return the shapes of a label of outer ``size`` in mm, origin at its top left corner."""
    if not view.border:
        return (Group((*_letters(fields), *picture), transform=moved(0, 0)),)
    width, height = size[0] - 2 * FRAME_MM, size[1] - 2 * FRAME_MM
    radius = CORNER_RADIUS_MM - FRAME_MM
    grounds: list[Shape] = []
    for index, field in enumerate(fields):
        bottom = height if index == len(fields) - 1 else field.y + field.height
        if field.field.fill is not None:
            grounds.append(rectangle(0, field.y, width, bottom - field.y, fill=field.field.fill))
    inner: list[Shape] = [
        Group(tuple(grounds), clip=rounded_rectangle(0, 0, width, height, radius=radius)),
        *_field_rules(fields, width, inks),
        *_letters(fields),
        *picture,
        *_edge(fields, width, height, inks),
    ]
    return (Group(tuple(inner), transform=moved(FRAME_MM, FRAME_MM)),)


def _field_rules(fields: Sequence[SetField], width: float, inks: Inks) -> list[Line]:
    """Rules between fields, and the thin ones above facts of our own."""
    rules = [Line(0, field.y, width, field.y, Pen(_FIELD_RULE_MM, inks.line)) for field in fields[1:]]
    for field in fields:
        pad = field.field.pad_mm
        right = field.text_room - pad
        rules.extend(Line(pad, y, right, y, Pen(_THIN_RULE_MM, field.field.ink)) for y in field.rules)
    return rules


def _letters(fields: Sequence[SetField]) -> list[Shape]:
    shapes: list[Shape] = []
    for field in fields:
        if field.field.has_symbol:
            line = field.lines[0]
            height = SYMBOL_TO_LETTERS * line.style.cap_height_mm
            top = field.y + (field.height - height) / 2
            mark = field.field.fill
            shapes.extend(alert_symbol(field.symbol_x, top, height, field.field.ink, mark))
        shapes.extend(Text(line.x, line.y, line.text, line.style, anchor="middle" if line.is_centered else "start") for line in field.lines)
    return shapes


def _edge(fields: Sequence[SetField], width: float, height: float, inks: Inks) -> list[Shape]:
    """A sign of one dark color gets a line of the letters' color inside its edge; any other label a dark frame."""
    radius = CORNER_RADIUS_MM - FRAME_MM
    colors = {(field.field.fill, field.field.ink) for field in fields}
    fill, ink = next(iter(colors))
    if len(colors) == 1 and fill is not None and fill.luminance < ink.luminance:
        inset = _KEYLINE_INSET_MM
        pen = Pen(_KEYLINE_MM, ink)
        return [rounded_rectangle(inset, inset, width - 2 * inset, height - 2 * inset, radius=max(radius - inset, 0.6), pen=pen)]
    half = _FRAME_PEN_MM / 2
    pen = Pen(_FRAME_PEN_MM, inks.line)
    return [rounded_rectangle(half, half, width - 2 * half, height - 2 * half, radius=radius - half, pen=pen)]
