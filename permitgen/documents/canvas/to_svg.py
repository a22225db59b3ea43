"""Writes a page as one SVG file in true millimeters: complete by itself, the same bytes for the same page.

Text stays text, set in the program's own faces, which are embedded cut down to the characters in use; or every letter
becomes a path, for engravers and cutters; or the outline of each letter stands once, and is placed wherever the letter stands.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable, Iterator
from typing import Any, Literal

from permitgen.documents.canvas.glyph_outlines import glyph_path, text_outline
from permitgen.documents.canvas.page import Page
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
    Segment,
    Shape,
    Text,
)
from permitgen.documents.canvas.signs import drawn_signs, with_signs_drawn
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.canvas.text_width import require_printable, text_width
from permitgen.documents.fonts.faces import Face, spelled_for
from permitgen.documents.fonts.subset import subset_bytes

TextAs = Literal["text", "outlines", "glyphs"]
_ESCAPES = {ord("&"): "&amp;", ord("<"): "&lt;", ord(">"): "&gt;", ord('"'): "&quot;", ord("'"): "&#39;"}
_DECIMALS = 4
_FILLED = "#000000"
"""What a form is filled with where nothing is said."""
_LETTERS = "abcdefghijklmnopqrstuvwxyz"
_JPEG_START = b"\xff\xd8"


def svg_text(page: Page, *, text_as: TextAs = "text") -> str:
    """Return the SVG file of ``page``. Raises MissingGlyphError for a character that its face cannot print."""
    writer = _SvgWriter(text_as)
    body = "\n".join(writer.elements(page.shapes))
    width, height = _number(page.width_mm), _number(page.height_mm)
    title = f"<title>{escaped(page.title)}</title>\n" if page.title else ""
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg"{writer.namespaces()} {size}>\n'
        f"{title}{writer.fonts()}{writer.glyphs()}{body}\n</svg>\n"
    )


def escaped(text: str) -> str:
    """Return ``text`` as XML character data or attribute value; what XML 1.0 does not allow becomes U+FFFD."""
    return "".join(character if _is_xml(ord(character)) else "\ufffd" for character in text).translate(_ESCAPES)


def _is_xml(code: int) -> bool:
    return code in (0x9, 0xA, 0xD) or 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or code >= 0x10000


def _number(value: float) -> str:
    written = f"{value:.{_DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if written in ("-0", "") else written


def path_data(segments: Iterable[Segment]) -> str:
    """Return the value of the ``d`` attribute for a path; edges along an axis are written as such, which are most in codes and boxes."""
    parts: list[str] = []
    at = "", ""
    for segment in segments:
        if isinstance(segment, Close):
            parts.append("Z")
            at = "", ""  # it ends where the contour began
            continue
        to = _number(segment.x), _number(segment.y)
        if isinstance(segment, Move):
            parts.append(f"M{to[0]} {to[1]}")
        elif isinstance(segment, Curve):
            parts.append(f"C{_number(segment.x1)} {_number(segment.y1)} {_number(segment.x2)} {_number(segment.y2)} {to[0]} {to[1]}")
        elif to[1] == at[1]:
            parts.append(f"H{to[0]}")
        else:
            parts.append(f"V{to[1]}" if to[0] == at[0] else f"L{to[0]} {to[1]}")
        at = to
    return "".join(parts)


def _pen_attributes(pen: Pen | None) -> str:
    if pen is None:
        return ""
    attributes = f' stroke="{pen.color.hex}" stroke-width="{_number(pen.width_mm)}"'
    if pen.cap != "butt":
        attributes += f' stroke-linecap="{pen.cap}"'
    if pen.join != "miter":
        attributes += f' stroke-linejoin="{pen.join}"'
    if pen.dash_mm:
        attributes += f' stroke-dasharray="{" ".join(_number(length) for length in pen.dash_mm)}"'
    return attributes


def _short_name(number: int) -> str:
    """Return a name for the outline of a letter: it stands wherever the letter does."""
    first, second = divmod(number, len(_LETTERS))
    return f"{_short_name(first - 1) if first else ''}{_LETTERS[second]}"


class _SvgWriter:
    def __init__(self, text_as: TextAs) -> None:
        self.text_as = text_as
        self.characters_of: dict[Face, set[str]] = {}
        self.glyph_names: dict[tuple[Face, str], str] = {}
        self.clip_count = 0
        self.write_by_kind: dict[type, Any] = {
            Line: self._line,
            Polyline: self._polyline,
            Path: self._path,
            Text: self._text,
            Picture: self._picture,
            Group: self._group,
            Link: self._link,
            Bookmark: self._bookmark,
        }

    def elements(self, shapes: Iterable[Shape]) -> Iterator[str]:
        for shape in shapes:
            yield from self.write_by_kind[type(shape)](shape)

    def fonts(self) -> str:
        """Return the embedded faces as a style element; empty when no text was written as text."""
        rules = []
        for face in sorted(self.characters_of, key=lambda face: face.name):
            data = base64.b64encode(subset_bytes(face, self.characters_of[face])).decode("ascii")
            source = f"url(data:font/ttf;base64,{data}) format('truetype')"
            rules.append(f"@font-face {{font-family: '{face.name}'; src: {source};}}")
        return "<style>\n" + "\n".join(rules) + "\n</style>\n" if rules else ""

    def namespaces(self) -> str:
        """Return the namespace that placed letters need: drawing programs know their reference by its older name."""
        return ' xmlns:xlink="http://www.w3.org/1999/xlink"' if self.glyph_names else ""

    def glyphs(self) -> str:
        """Return the outline of each letter that is placed; empty where none is."""
        paths = [f'<path id="{name}" d="{glyph_path(character, face)}"/>' for (face, character), name in self.glyph_names.items()]
        return "<defs>\n" + "\n".join(paths) + "\n</defs>\n" if paths else ""

    def _line(self, line: Line) -> Iterator[str]:
        ends = " ".join(f'{name}="{_number(getattr(line, name))}"' for name in ("x1", "y1", "x2", "y2"))
        yield f"<line {ends}{_pen_attributes(line.pen)}/>"

    def _polyline(self, polyline: Polyline) -> Iterator[str]:
        points = " ".join(f"{_number(x)},{_number(y)}" for x, y in polyline.points)
        name = "polygon" if polyline.closed else "polyline"
        fill = polyline.fill.hex if polyline.fill else "none"
        yield f'<{name} points="{points}" fill="{fill}"{_pen_attributes(polyline.pen)}/>'

    def _path(self, path: Path) -> Iterator[str]:
        fill = path.fill.hex if path.fill else "none"
        rule = ' fill-rule="evenodd"' if path.even_odd else ""
        yield f'<path d="{path_data(path.segments)}" fill="{fill}"{rule}{_pen_attributes(path.pen)}/>'

    def _text(self, text: Text) -> Iterator[str]:
        style = text.style
        if not text.text:
            return
        if drawn_signs(text.text, style.face):
            yield from self._group(with_signs_drawn(text, text_width(text.text, style)))
            return
        if self.text_as == "outlines":
            yield from self._group(text_outline(text))
            return
        if self.text_as == "glyphs":
            yield self._placed_glyphs(text)
            return
        require_printable(text.text, style.face)
        spelled = spelled_for(text.text, style.face)
        self.characters_of.setdefault(style.face, set()).update(spelled)
        attributes = f'x="{_number(text.x)}" y="{_number(text.y)}" font-family="\'{style.face.name}\'"'
        attributes += f' font-size="{_number(style.size_mm)}" fill="{style.color.hex}" xml:space="preserve"'
        if text.anchor != "start":
            attributes += f' text-anchor="{text.anchor}"'
        if style.tracking_mm:
            attributes += f' letter-spacing="{_number(style.tracking_mm)}"'
        if text.rotation_deg:
            attributes += f' transform="rotate({_number(-text.rotation_deg)} {_number(text.x)} {_number(text.y)})"'
        yield f"<text {attributes}>{escaped(spelled)}</text>"

    def _placed_glyphs(self, text: Text) -> str:
        """Return a line of text as placed outlines, within the line in units of the face."""
        style, face = text.style, text.style.face
        require_printable(text.text, face)
        turned = f" rotate({_number(-text.rotation_deg)} {_number(text.x)} {_number(text.y)})" if text.rotation_deg else ""
        unit_mm = style.size_mm / face.font.units_per_em
        uses, x = [], 0.0
        for character in spelled_for(text.text, face):
            if glyph_path(character, face):
                name = self.glyph_names.setdefault((face, character), _short_name(len(self.glyph_names)))
                uses.append(f'<use xlink:href="#{name}" x="{_number(x)}"/>')
            x += (face.advance_by_character[character] * style.size_mm + style.tracking_mm) / unit_mm
        place = f"translate({_number(text.start(text_width(text.text, style)))} {_number(text.y)}) scale({unit_mm:.10g})"
        fill = f' fill="{style.color.hex}"' if style.color.hex != _FILLED else ""
        return f'<g{fill} transform="{f"{turned} {place}".strip()}">{"".join(uses)}</g>'

    def _picture(self, picture: Picture) -> Iterator[str]:
        kind = "jpeg" if picture.data.startswith(_JPEG_START) else "png"
        data = base64.b64encode(picture.data).decode("ascii")
        yield (
            f'<image x="{_number(picture.x)}" y="{_number(picture.y)}" width="{_number(picture.width)}"'
            f' height="{_number(picture.height)}" preserveAspectRatio="none" aria-label="{escaped(picture.says)}"'
            f' href="data:image/{kind};base64,{data}"/>'
        )

    def _group(self, group: Group) -> Iterator[str]:
        attributes = f' id="layer-{escaped(group.layer)}"' if group.layer else ""
        if group.transform != IDENTITY:
            matrix = group.transform
            values = " ".join(f"{getattr(matrix, name):.6g}" for name in "abcdef")
            attributes += f' transform="matrix({values})"'
        inner = list(self.elements(group.shapes))
        if group.clip is not None:
            self.clip_count += 1
            name = f"clip-{self.clip_count}"
            yield f'<clipPath id="{name}"><path d="{path_data(group.clip.segments)}"/></clipPath>'
            yield f'<g clip-path="url(#{name})">'
        if attributes:
            yield f"<g{attributes}>"
        yield from inner
        if attributes:
            yield "</g>"
        if group.clip is not None:
            yield "</g>"

    def _link(self, link: Link) -> Iterator[str]:
        target = link.url or f"#{link.bookmark}"
        box = f'x="{_number(link.x)}" y="{_number(link.y)}" width="{_number(link.width)}" height="{_number(link.height)}"'
        yield f'<a href="{escaped(target)}"><rect {box} fill="none" pointer-events="all"/></a>'

    def _bookmark(self, bookmark: Bookmark) -> Iterator[str]:
        yield f'<g id="{escaped(bookmark.key)}"/>'
