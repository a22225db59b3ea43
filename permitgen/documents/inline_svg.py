"""Shapes as SVG that stands inside an HTML page: the reader's own fonts, no style, nothing that the page's policy forbids.

Lines of text keep the width that the program's own face gives them, so that nothing overlaps in another face.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import groupby

from permitgen.documents.canvas.shapes import (
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
    Straight,
    Text,
    Transform,
)
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.to_svg import escaped, path_data

_FONTS = "'Arial Narrow','Roboto Condensed','Liberation Sans Narrow',Arial,sans-serif"


_BLACK = "#000000"
_DECIMALS = 2


@dataclass(frozen=True, slots=True)
class _Stroke:
    """A contour that is only drawn with a pen: those of one pen that follow each other are written as one path."""

    pen: str
    data: str


@dataclass(frozen=True, slots=True)
class InlineSvg:
    """What to say instead of the drawn words (``words``), and where tags lead (``targets``: first word to id on the page)."""

    words: Mapping[str, str] = field(default_factory=dict)
    targets: Mapping[str, str] = field(default_factory=dict)

    def svg(self, shapes: Iterable[Shape], width_mm: float, height_mm: float, says: str) -> str:
        """Return an ``svg`` element; ``says`` tells its content to those who do not see it."""
        body = _written(self._parts(shapes, 0.0, 0.0))
        box = f"0 0 {_number(width_mm)} {_number(height_mm)}"
        role = f'role="img" aria-label="{escaped(says)}"' if not self.targets else f'role="group" aria-label="{escaped(says)}"'
        return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" {role} font-family="{_FONTS}">{body}</svg>'

    def _parts(self, shapes: Iterable[Shape], dx: float, dy: float) -> Iterator[str | _Stroke]:
        """Yield what shapes become that stand ``dx`` and ``dy`` mm further: groups that are only moved leave no element behind."""
        for shape in shapes:
            if isinstance(shape, Group):
                yield from self._group(shape, dx, dy)
            elif isinstance(shape, Text):
                yield from self._text(replace(shape, x=shape.x + dx, y=shape.y + dy))
            elif isinstance(shape, Link):
                yield from self._link(replace(shape, x=shape.x + dx, y=shape.y + dy))
            elif not isinstance(shape, Picture | Bookmark):
                yield _figure(shape, dx, dy)

    def _text(self, text: Text) -> Iterator[str]:
        said = self.words.get(text.text, text.text)
        if not said.strip():
            return
        style = text.style
        width = text_width(text.text, style)
        attributes = f'x="{_number(text.x)}" y="{_number(text.y)}" font-size="{_number(style.size_mm)}"'
        if style.color.hex != _BLACK:
            attributes += f' fill="{style.color.hex}"'
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

    def _group(self, group: Group, dx: float, dy: float) -> Iterator[str | _Stroke]:
        by = group.transform
        if group.clip is None and by == Transform(e=by.e, f=by.f):
            yield from self._parts(group.shapes, dx + by.e, dy + by.f)
            return
        inner = _written(self._parts(group.shapes, 0.0, 0.0))
        values = " ".join(f"{value:.5g}" for value in (by.a, by.b, by.c, by.d, by.e + dx, by.f + dy))
        inner = f'<g transform="matrix({values})">{inner}</g>'
        if group.clip is not None:
            # A nested viewport cuts off what leaves the box; clip paths need ids, which would have to be unique on the page.
            left, top, width, height = _box(group.clip)
            left, top = left + dx, top + dy
            placed = f'x="{_number(left)}" y="{_number(top)}" width="{_number(width)}" height="{_number(height)}"'
            inner = f'<svg {placed} viewBox="{_number(left)} {_number(top)} {_number(width)} {_number(height)}">{inner}</svg>'
        yield inner

    def _link(self, link: Link) -> Iterator[str]:
        if link.bookmark:
            box = f'x="{_number(link.x)}" y="{_number(link.y)}" width="{_number(link.width)}" height="{_number(link.height)}"'
            target = escaped(link.bookmark)
            yield f'<a href="#{target}" aria-label="{target}"><rect {box} fill="none" pointer-events="all"/></a>'


def _written(parts: Iterable[str | _Stroke]) -> str:
    found: list[str] = []
    for pen, run in groupby(parts, key=lambda part: part.pen if isinstance(part, _Stroke) else None):
        if pen is None:
            found += (part for part in run if isinstance(part, str))
        else:
            found.append(f'<path d="{"".join(part.data for part in run if isinstance(part, _Stroke))}" fill="none"{pen}/>')
    return "".join(found)


def _figure(shape: Line | Polyline | Path, dx: float, dy: float) -> str | _Stroke:
    """Return a figure ``dx`` and ``dy`` mm further."""
    data = path_data(_moved(segment, dx, dy) for segment in _segments(shape))
    pen = _pen(shape.pen)
    fill = None if isinstance(shape, Line) else shape.fill
    if fill is None:
        return _Stroke(pen, data)
    rule = ' fill-rule="evenodd"' if isinstance(shape, Path) and shape.even_odd else ""
    return f'<path d="{data}" fill="{fill.hex}"{rule}{pen}/>'


def _segments(shape: Line | Polyline | Path) -> tuple[Segment, ...]:
    if isinstance(shape, Path):
        return shape.segments
    if isinstance(shape, Line):
        return Move(shape.x1, shape.y1), Straight(shape.x2, shape.y2)
    first, *others = shape.points
    return Move(*first), *(Straight(*point) for point in others), *((Close(),) if shape.closed else ())


def _moved(segment: Segment, dx: float, dy: float) -> Segment:
    """Return a segment further by ``dx`` and ``dy``, to the precision of the drawing."""
    if isinstance(segment, Close):
        return segment
    to_x, to_y = round(segment.x + dx, _DECIMALS), round(segment.y + dy, _DECIMALS)
    if not isinstance(segment, Curve):
        return type(segment)(to_x, to_y)
    x1, y1 = round(segment.x1 + dx, _DECIMALS), round(segment.y1 + dy, _DECIMALS)
    x2, y2 = round(segment.x2 + dx, _DECIMALS), round(segment.y2 + dy, _DECIMALS)
    return Curve(x1, y1, x2, y2, to_x, to_y)


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
    written = f"{value:.{_DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if written in ("-0", "") else written
