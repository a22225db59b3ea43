"""What a filled field looks like: a stream of its own with the program's embedded letters, so that every viewer shows the same."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, FloatObject, NameObject, StreamObject

from permitgen.documents.canvas.page import Document, Page
from permitgen.documents.canvas.shapes import Anchor, Polyline, Shape, Text
from permitgen.documents.canvas.styles import MM_PER_POINT, Pen, TextStyle, points
from permitgen.documents.canvas.text_flow import flow_lines, line_shapes
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.canvas.typography import spans_of
from permitgen.documents.fonts.faces import SANS

if TYPE_CHECKING:
    from permitgen.documents.forms.pdf_fields import PdfField

_SMALLEST_PT, _LARGEST_PT = 6.0, 12.0
_STEP_PT = 0.5
_PAD_PT = 2.0
_FIT_PT = 0.01
_SIZE_IN_DA = re.compile(r"([0-9.]+)\s+Tf\b")
_ANCHORS: tuple[Anchor, ...] = ("start", "middle", "end")
_OPERATORS = {1: "g", 3: "rg", 4: "k"}


class DoesNotFitError(ValueError):
    """A text that the field has no room for; the message says how much it needs."""


@dataclass(frozen=True, slots=True)
class Look:
    """One appearance to be made: a box in points, and what stands in it."""

    width: float
    height: float
    shapes: tuple[Shape, ...]

    @property
    def size(self) -> tuple[float, float]:
        """Width and height."""
        return self.width, self.height


def text_look(field: PdfField, widget: DictionaryObject, text: str) -> Look:
    """Return how a text looks in its widget, at the size that the form states, or the largest that fits.

    Raises:
        DoesNotFitError: not even the smallest letters fit.
    """
    width, height = box_of(widget)
    stated = _stated_size(field, widget)
    size = stated or (_LARGEST_PT if field.is_multiline else min(max(height * 0.7, _SMALLEST_PT), _LARGEST_PT))
    while size >= min(_SMALLEST_PT, stated or _SMALLEST_PT):
        shapes = _set_text(field, text, points(SANS, size), (width, height), int(widget.get("/Q", field.has.get("/Q", 0))))
        if shapes is not None:
            return Look(width, height, shapes)
        size -= _STEP_PT
    needs = text_width(text, points(SANS, _SMALLEST_PT)) / MM_PER_POINT / 72
    raise DoesNotFitError(f"the text needs {needs:.1f} in at {_SMALLEST_PT:g} pt, the field has {(width - 2 * _PAD_PT) / 72:.1f} in")


def _stated_size(field: PdfField, widget: DictionaryObject) -> float:
    found = _SIZE_IN_DA.search(str(widget.get("/DA", field.has.get("/DA", ""))))
    return float(found[1]) if found else 0.0


def _set_text(field: PdfField, text: str, style: TextStyle, box: tuple[float, float], quadding: int) -> tuple[Shape, ...] | None:
    """Return the text in a box of points, None where it does not fit."""
    width, height = (side * MM_PER_POINT for side in box)
    pad = _PAD_PT * MM_PER_POINT
    if field.is_multiline:
        return _lines(text, style, (width - 2 * pad, height), pad)
    if style.cap_height_mm > height:
        return None
    baseline = (height + style.cap_height_mm) / 2
    if field.is_comb:
        cell = width / (field.most or 1)
        shapes = [Text((n + 0.5) * cell, baseline, sign, style, "middle") for n, sign in enumerate(text) if sign != " "]
        return tuple(shapes) if all(text_width(sign, style) <= cell for sign in text) else None
    if text_width(text, style) > width - 2 * pad + _FIT_PT:
        return None
    anchor = _ANCHORS[quadding] if 0 <= quadding < len(_ANCHORS) else _ANCHORS[0]
    return (Text({"start": pad, "middle": width / 2, "end": width - pad}[anchor], baseline, text, style, anchor),)


def _lines(text: str, style: TextStyle, room: tuple[float, float], pad: float) -> tuple[Shape, ...] | None:
    leading = style.size_mm * 1.2
    lines = flow_lines(spans_of(text, style), room[0])
    if len(lines) * leading + pad > room[1] or any(line.width > room[0] + _FIT_PT for line in lines):
        return None
    return tuple(
        shape for n, line in enumerate(lines) for shape in line_shapes(line, pad, pad + n * leading + style.ascent_mm * 0.9, room[0])
    )


def tick_look(widget: DictionaryObject, *, is_round: bool) -> Look:
    """Return a mark for a box, or a full circle's likeness for a round button."""
    width, height = box_of(widget)
    side = min(width, height) * MM_PER_POINT
    x, y = width * MM_PER_POINT / 2, height * MM_PER_POINT / 2
    if is_round:
        corner = side * 0.22
        return Look(width, height, (Polyline(_octagon(x, y, corner), None, fill=Pen(1).color, closed=True),))
    mark = tuple((x + across * side, y + down * side) for across, down in ((-0.28, 0.02), (-0.08, 0.24), (0.3, -0.26)))
    return Look(width, height, (Polyline(mark, Pen(side * 0.11, cap="round", join="round")),))


def _octagon(x: float, y: float, radius: float) -> tuple[tuple[float, float], ...]:
    near = radius * 0.4142
    corners = (
        (near, radius),
        (radius, near),
        (radius, -near),
        (near, -radius),
        (-near, -radius),
        (-radius, -near),
        (-radius, near),
        (-near, radius),
    )
    return tuple((x + across, y + down) for across, down in corners)


def box_of(widget: DictionaryObject) -> tuple[float, float]:
    """Return width and height of a widget in points as its text reads: those of one that is turned change places."""
    rectangle: Any = widget["/Rect"].get_object()
    left, bottom, right, top = (float(side) for side in rectangle)
    width, height = abs(right - left), abs(top - bottom)
    return (height, width) if _turn(widget) in (90, 270) else (width, height)


def _turn(widget: DictionaryObject) -> int:
    kept = widget.get("/MK")
    return int(kept.get_object().get("/R", 0)) % 360 if kept is not None else 0


def streams(writer: PdfWriter, looks: Sequence[tuple[DictionaryObject, Look]]) -> list[Any]:
    """Return one appearance stream a look, in the file already: background and border as the form states them, then the look."""
    if not looks:
        return []
    pages = tuple(Page(max(look.width, 1) * MM_PER_POINT, max(look.height, 1) * MM_PER_POINT, look.shapes) for _, look in looks)
    drawn = PdfReader(io.BytesIO(pdf_bytes(Document(pages, title="fields"))))
    return [_stream(writer, page, widget, look) for page, (widget, look) in zip(drawn.pages, looks, strict=True)]


def _stream(writer: PdfWriter, page: Any, widget: DictionaryObject, look: Look) -> Any:
    contents = page.get_contents()
    body = contents.get_data() if contents is not None else b""
    stream = StreamObject()
    stream.set_data(_frame(widget, look) + b"/Tx BMC\nq\n" + body + b"\nQ\nEMC\n")
    stream[NameObject("/Type")], stream[NameObject("/Subtype")] = NameObject("/XObject"), NameObject("/Form")
    stream[NameObject("/BBox")] = ArrayObject(
        [FloatObject(0), FloatObject(0), FloatObject(round(look.width, 4)), FloatObject(round(look.height, 4))]
    )
    stream[NameObject("/Resources")] = page["/Resources"].clone(writer)
    if matrix := _matrix(widget, look):
        stream[NameObject("/Matrix")] = ArrayObject([FloatObject(number) for number in matrix])
    return writer._add_object(stream)  # noqa: SLF001 - the library has no public way to add an object


def _matrix(widget: DictionaryObject, look: Look) -> tuple[float, ...]:
    """Return the turn of a widget on its page, counter-clockwise, moved back into its box."""
    width, height = look.width, look.height
    return {90: (0, 1, -1, 0, height, 0), 180: (-1, 0, 0, -1, width, height), 270: (0, -1, 1, 0, 0, width)}.get(_turn(widget), ())


def _frame(widget: DictionaryObject, look: Look) -> bytes:
    """Return background and border as the form states them: the stream takes the place of one that drew them."""
    kept = widget.get("/MK")
    colors = kept.get_object() if kept is not None else DictionaryObject()
    style = widget.get("/BS")
    line = float(style.get_object().get("/W", 1)) if style is not None else 1.0
    parts = []
    if fill := _color(colors.get("/BG")):
        parts.append(f"{fill} 0 0 {look.width:.3f} {look.height:.3f} re f")
    if (edge := _color(colors.get("/BC"))) and line:
        parts.append(f"{line:g} w {edge.upper()} {line / 2:.3f} {line / 2:.3f} {look.width - line:.3f} {look.height - line:.3f} re S")
    return f"q {' '.join(parts)} Q\n".encode() if parts else b""


def _color(kept: Any) -> str:
    numbers = [float(number) for number in kept.get_object()] if kept is not None else []
    operator = _OPERATORS.get(len(numbers), "")
    return f"{' '.join(f'{number:g}' for number in numbers)} {operator}" if operator else ""
