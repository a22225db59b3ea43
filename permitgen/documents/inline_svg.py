"""Shapes as SVG that stands inside an HTML page: the reader's own fonts, no style, nothing that the page's policy forbids.

Lines of text keep the width that the program's own face gives them, so that nothing overlaps in another face.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from permitgen.documents.canvas.shapes import IDENTITY, Bookmark, Close, Group, Line, Link, Path, Picture, Polyline, Shape, Text
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.to_svg import escaped, path_data

_FONTS = "'Arial Narrow','Roboto Condensed','Liberation Sans Narrow',Arial,sans-serif"


@dataclass(frozen=True, slots=True)
class InlineSvg:
    """What to say instead of the drawn words (``words``), and where tags lead (``targets``: first word to id on the page)."""

    words: Mapping[str, str] = field(default_factory=dict)
    targets: Mapping[str, str] = field(default_factory=dict)

    def svg(self, shapes: Iterable[Shape], width_mm: float, height_mm: float, says: str) -> str:
        """Return an ``svg`` element; ``says`` tells its content to those who do not see it."""
        body = "".join(self._elements(shapes))
        box = f"0 0 {_number(width_mm)} {_number(height_mm)}"
        role = f'role="img" aria-label="{escaped(says)}"' if not self.targets else f'role="group" aria-label="{escaped(says)}"'
        return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" {role} font-family="{_FONTS}">{body}</svg>'

    def _elements(self, shapes: Iterable[Shape]) -> Iterator[str]:
        write: dict[type, Callable[[Any], Iterator[str]]] = {Text: self._text, Group: self._group, Link: self._link}
        for shape in shapes:
            if isinstance(shape, Picture | Bookmark):
                continue
            if isinstance(shape, Line | Polyline | Path):
                yield _figure(shape)
            else:
                yield from write[type(shape)](shape)

    def _text(self, text: Text) -> Iterator[str]:
        said = self.words.get(text.text, text.text)
        if not said.strip():
            return
        style = text.style
        width = text_width(text.text, style)
        attributes = f'x="{_number(text.x)}" y="{_number(text.y)}" font-size="{_number(style.size_mm)}" fill="{style.color.hex}"'
        attributes += f' textLength="{_number(width)}" lengthAdjust="spacingAndGlyphs"'
        if "Bold" in style.face.name or "bold" in style.face.name.lower():
            attributes += ' font-weight="700"'
        if text.anchor != "start":
            attributes += f' text-anchor="{text.anchor}"'
        if text.rotation_deg:
            attributes += f' transform="rotate({_number(-text.rotation_deg)} {_number(text.x)} {_number(text.y)})"'
        element = f"<text {attributes}>{escaped(said)}</text>"
        target = self.targets.get(text.text.split(" ", 1)[0])
        yield f'<a href="#{escaped(target)}">{element}</a>' if target else element

    def _group(self, group: Group) -> Iterator[str]:
        inner = "".join(self._elements(group.shapes))
        if group.transform != IDENTITY:
            values = " ".join(f"{getattr(group.transform, name):.5g}" for name in "abcdef")
            inner = f'<g transform="matrix({values})">{inner}</g>'
        if group.clip is not None:
            # A nested viewport cuts off what leaves the box; clip paths need ids, which would have to be unique on the page.
            left, top, width, height = _box(group.clip)
            placed = f'x="{_number(left)}" y="{_number(top)}" width="{_number(width)}" height="{_number(height)}"'
            inner = f'<svg {placed} viewBox="{_number(left)} {_number(top)} {_number(width)} {_number(height)}">{inner}</svg>'
        yield inner

    def _link(self, link: Link) -> Iterator[str]:
        if link.bookmark:
            box = f'x="{_number(link.x)}" y="{_number(link.y)}" width="{_number(link.width)}" height="{_number(link.height)}"'
            target = escaped(link.bookmark)
            yield f'<a href="#{target}" aria-label="{target}"><rect {box} fill="none" pointer-events="all"/></a>'


def _figure(shape: Line | Polyline | Path) -> str:
    pen = _pen(shape.pen)
    if isinstance(shape, Line):
        ends = f"M{_number(shape.x1)} {_number(shape.y1)}L{_number(shape.x2)} {_number(shape.y2)}"
        return f'<path d="{ends}" fill="none"{pen}/>'
    fill = shape.fill.hex if shape.fill else "none"
    if isinstance(shape, Polyline):
        points = " ".join(f"{_number(x)},{_number(y)}" for x, y in shape.points)
        return f'<{"polygon" if shape.closed else "polyline"} points="{points}" fill="{fill}"{pen}/>'
    rule = ' fill-rule="evenodd"' if shape.even_odd else ""
    return f'<path d="{path_data(shape.segments)}" fill="{fill}"{rule}{pen}/>'


def _box(clip: Path) -> tuple[float, float, float, float]:
    points = [(segment.x, segment.y) for segment in clip.segments if not isinstance(segment, Close)]
    left, top = min(x for x, _ in points), min(y for _, y in points)
    return left, top, max(x for x, _ in points) - left, max(y for _, y in points) - top


def _pen(pen: Pen | None) -> str:
    if pen is None:
        return ""
    dash = f' stroke-dasharray="{" ".join(_number(length) for length in pen.dash_mm)}"' if pen.dash_mm else ""
    return f' stroke="{pen.color.hex}" stroke-width="{_number(pen.width_mm)}"{dash}'


def _number(value: float) -> str:
    written = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if written in ("-0", "") else written
