"""Writes pages to PDF with reportlab. The same pages give the same bytes, whatever the clock or the environment says.

Only fonts of the program are used and each is embedded. Viewers are told not to scale the page when printing.
"""

from __future__ import annotations

import io
import os
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import Any

from reportlab import rl_config
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from permitgen import __version__
from permitgen.documents.canvas.colors import Color
from permitgen.documents.canvas.page import Document, Page
from permitgen.documents.canvas.shapes import (
    IDENTITY,
    Bookmark,
    Close,
    Curve,
    Group,
    Line,
    Link,
    Move,
    Path,
    Picture,
    Polyline,
    Shape,
    Straight,
    Text,
    Transform,
    rotated,
)
from permitgen.documents.canvas.signs import drawn_signs, with_signs_drawn
from permitgen.documents.canvas.styles import MM_PER_POINT, Pen
from permitgen.documents.canvas.text_width import require_printable, text_width
from permitgen.documents.fonts.faces import SANS, Face, spelled_for

_POINTS_PER_MM = 1 / MM_PER_POINT
_CAPS = {"butt": 0, "round": 1, "square": 2}
_JOINS = {"miter": 0, "round": 1, "bevel": 2}


# Streams are packed once and not spelled as text again: smaller files, sooner written.
rl_config.useA85 = 0


def pdf_bytes(document: Document) -> bytes:
    """Return the PDF file of ``document``.

    Raises MissingGlyphError for a character that its face cannot print, ValueError for a document without a page.
    """
    if not document.pages:
        raise ValueError(f'the document "{document.title}" has no page')
    buffer = io.BytesIO()
    canvas = _new_canvas(buffer, document)
    outline = _Outline()
    for number, page in enumerate(document.pages):
        _draw_page(canvas, page, number, outline)
    canvas.save()
    return buffer.getvalue()


@contextmanager
def _ignoring_source_date() -> Iterator[None]:
    """Hide SOURCE_DATE_EPOCH: reportlab would put that date into the file in place of its fixed one."""
    value = os.environ.pop("SOURCE_DATE_EPOCH", None)
    try:
        yield
    finally:
        if value is not None:
            os.environ["SOURCE_DATE_EPOCH"] = value


def _new_canvas(buffer: io.BytesIO, document: Document) -> Any:
    first = document.pages[0]
    with _ignoring_source_date():
        canvas = Canvas(
            buffer,
            pagesize=(first.width_mm * _POINTS_PER_MM, first.height_mm * _POINTS_PER_MM),
            pageCompression=1,
            invariant=1,
            pdfVersion=(1, 7),
            initialFontName=_registered(SANS),
            initialFontSize=10,
            lang=document.language,
        )
    canvas.setTitle(document.title)
    canvas.setSubject(document.subject)
    canvas.setAuthor(document.author)
    canvas.setKeywords(", ".join(document.keywords))
    canvas.setCreator(f"permitgen {__version__}")
    canvas.setProducer("permitgen")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    return canvas


@lru_cache(maxsize=64)
def _registered(face: Face) -> str:
    """Register a face with reportlab under a name of ours and return that name."""
    name = "permitgen-" + face.name.replace(" ", "-")
    pdfmetrics.registerFont(TTFont(name, str(face.path)))
    return name


class _Outline:
    """Keeps the levels of the outline without gaps, as PDF viewers need them."""

    def __init__(self) -> None:
        self.deepest = -1

    def level(self, wanted: int) -> int:
        self.deepest = max(0, min(wanted, self.deepest + 1))
        return self.deepest


def _draw_page(canvas: Any, page: Page, number: int, outline: _Outline) -> None:
    canvas.setPageSize((page.width_mm * _POINTS_PER_MM, page.height_mm * _POINTS_PER_MM))
    if page.label:
        canvas.addPageLabel(number, prefix=page.label)
    else:
        canvas.addPageLabel(number, style="ARABIC_NUMBERS", start=number + 1)
    writer = _PageWriter(canvas, page, outline)
    if page.title:
        writer.draw(Bookmark(f"page-{number + 1}", page.title, 0.0))
    for shape in page.shapes:
        writer.draw(shape)
    canvas.showPage()


class _PageWriter:
    """Draws the shapes of one page; remembers pen and fill so that each is written only when it changes."""

    def __init__(self, canvas: Any, page: Page, outline: _Outline) -> None:
        self.canvas = canvas
        self.outline = outline
        self.pen: Pen | None = None
        self.fill: Color | None = None
        # From millimeters with y down to points with y up; links and bookmarks need it too, as they ignore it.
        self.to_points = Transform(_POINTS_PER_MM, 0, 0, -_POINTS_PER_MM, 0, page.height_mm * _POINTS_PER_MM)
        self.draw_by_kind: dict[type, Any] = {
            Line: self._line,
            Polyline: self._polyline,
            Path: self._path,
            Text: self._text,
            Picture: self._picture,
            Group: self._group,
            Link: self._link,
            Bookmark: self._bookmark,
        }
        self._transform(self.to_points)

    def draw(self, shape: Shape) -> None:
        self.draw_by_kind[type(shape)](shape)

    def _transform(self, transform: Transform) -> None:
        self.canvas.transform(transform.a, transform.b, transform.c, transform.d, transform.e, transform.f)

    def _use_pen(self, pen: Pen) -> None:
        if pen == self.pen:
            return
        canvas = self.canvas
        canvas.setLineWidth(pen.width_mm)
        canvas.setLineCap(_CAPS[pen.cap])
        canvas.setLineJoin(_JOINS[pen.join])
        canvas.setDash(list(pen.dash_mm), 0)
        if pen.color.is_gray:
            canvas.setStrokeGray(pen.color.red / 255)
        else:
            canvas.setStrokeColorRGB(pen.color.red / 255, pen.color.green / 255, pen.color.blue / 255)
        self.pen = pen

    def _use_fill(self, color: Color) -> None:
        if color == self.fill:
            return
        if color.is_gray:
            self.canvas.setFillGray(color.red / 255)  # black ink only: no rich black behind small letters
        else:
            self.canvas.setFillColorRGB(color.red / 255, color.green / 255, color.blue / 255)
        self.fill = color

    def _line(self, line: Line) -> None:
        self._use_pen(line.pen)
        self.canvas.line(line.x1, line.y1, line.x2, line.y2)

    def _polyline(self, polyline: Polyline) -> None:
        outline = self.canvas.beginPath()
        outline.moveTo(*polyline.points[0])
        for point in polyline.points[1:]:
            outline.lineTo(*point)
        if polyline.closed:
            outline.close()
        self._paint(outline, polyline.pen, polyline.fill, even_odd=False)

    def _path(self, path: Path) -> None:
        self._paint(self._outline_of(path), path.pen, path.fill, even_odd=path.even_odd)

    def _outline_of(self, path: Path) -> Any:
        outline = self.canvas.beginPath()
        for segment in path.segments:
            match segment:
                case Straight(x, y):
                    outline.lineTo(x, y)
                case Curve(x1, y1, x2, y2, x, y):
                    outline.curveTo(x1, y1, x2, y2, x, y)
                case Move(x, y):
                    outline.moveTo(x, y)
                case Close():
                    outline.close()
        return outline

    def _paint(self, outline: Any, pen: Pen | None, fill: Color | None, *, even_odd: bool) -> None:
        if pen is not None:
            self._use_pen(pen)
        if fill is not None:
            self._use_fill(fill)
        rule = 0 if even_odd else 1
        self.canvas.drawPath(outline, stroke=int(pen is not None), fill=int(fill is not None), fillMode=rule)

    def _text(self, text: Text) -> None:
        if not text.text:
            return
        style = text.style
        if drawn_signs(text.text, style.face):
            self._group(with_signs_drawn(text, text_width(text.text, style)))
            return
        require_printable(text.text, style.face)
        turn = rotated(text.rotation_deg)
        back = 0.0 if text.anchor == "start" else text_width(text.text, style) / (2 if text.anchor == "middle" else 1)
        x, y = turn.apply(-back, 0.0)
        written = self.canvas.beginText()
        written.setFont(_registered(style.face), style.size_mm)
        self._use_fill(style.color)
        if style.tracking_mm:
            written.setCharSpace(style.tracking_mm)
        # The page runs y down, so the letters are turned over to stand upright.
        written.setTextTransform(turn.a, turn.b, -turn.c, -turn.d, text.x + x, text.y + y)
        written.textOut(spelled_for(text.text, style.face))
        if style.tracking_mm:
            written.setCharSpace(0)
        self.canvas.drawText(written)

    def _picture(self, picture: Picture) -> None:
        self.canvas.saveState()
        self._transform(Transform(1, 0, 0, -1, picture.x, picture.y + picture.height))
        self.canvas.drawImage(ImageReader(io.BytesIO(picture.data)), 0, 0, picture.width, picture.height)
        self.canvas.restoreState()

    def _group(self, group: Group) -> None:
        canvas, pen, fill, to_points = self.canvas, self.pen, self.fill, self.to_points
        canvas.saveState()
        if group.clip is not None:
            canvas.clipPath(self._outline_of(group.clip), stroke=0, fill=0)
        if group.transform != IDENTITY:
            self._transform(group.transform)
            self.to_points = to_points.after(group.transform)
        for shape in group.shapes:
            self.draw(shape)
        canvas.restoreState()
        self.pen, self.fill, self.to_points = pen, fill, to_points

    def _link(self, link: Link) -> None:
        left, top = self.to_points.apply(link.x, link.y)
        right, bottom = self.to_points.apply(link.x + link.width, link.y + link.height)
        box = (min(left, right), min(top, bottom), max(left, right), max(top, bottom))
        if link.url:
            self.canvas.linkURL(link.url, box, relative=0, thickness=0)
        else:
            self.canvas.linkAbsolute("", link.bookmark, box, thickness=0, Border="[0 0 0]")

    def _bookmark(self, bookmark: Bookmark) -> None:
        _x, top = self.to_points.apply(0.0, bookmark.y)
        self.canvas.bookmarkHorizontalAbsolute(bookmark.key, top)
        if bookmark.title:
            self.canvas.addOutlineEntry(bookmark.title, bookmark.key, self.outline.level(bookmark.level), closed=False)
