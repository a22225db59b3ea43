"""What is being drawn, piece by piece and by kind, so that it can be moved as a whole and checked for clashes before it becomes a page."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from permitgen.documents.canvas.bounds import Box, box_of_points, shifted, text_box
from permitgen.documents.canvas.colors import Color
from permitgen.documents.canvas.figures import circle, rectangle
from permitgen.documents.canvas.shapes import Anchor, Line, Point, Polyline, Shape, Text
from permitgen.documents.canvas.styles import Pen, TextStyle
from permitgen.documents.symbols.symbol import UNIT, Symbol

ItemKind = Literal["boundary", "wire", "bar", "symbol", "text"]
_ORDER: dict[ItemKind, int] = {"boundary": 0, "wire": 1, "bar": 2, "symbol": 3, "text": 4}


def snapped(length: float) -> float:
    """Return ``length`` rounded up to the grid."""
    return math.ceil(length / UNIT - 1e-6) * UNIT


@dataclass(frozen=True, slots=True)
class Item:
    """One thing on the drawing with its box; ``points`` are the corners of a wire; ``name`` says which symbol, of a text which unit."""

    kind: ItemKind
    shapes: tuple[Shape, ...]
    box: Box
    points: tuple[Point, ...] = ()
    name: str = ""

    def moved(self, dx: float, dy: float) -> Item:
        """Return the item shifted."""
        return replace(
            self,
            shapes=tuple(shifted(shape, dx, dy) for shape in self.shapes),
            box=Box(self.box.left + dx, self.box.top + dy, self.box.right + dx, self.box.bottom + dy),
            points=tuple((x + dx, y + dy) for x, y in self.points),
        )


class Sketch:
    """A growing drawing: items of its own and other sketches with their shifts. Lengths in mm, y down.

    Nothing is copied until it is flattened.
    """

    def __init__(self) -> None:
        self.items: list[Item] = []
        self._parts: list[tuple[Sketch, float, float]] = []
        self._known: tuple[int, Box] | None = None

    def symbol(self, symbol: Symbol, x: float, y: float) -> None:
        """Place a symbol with its origin at (x, y)."""
        box = symbol.box
        self.items.append(Item("symbol", symbol.at(x, y), Box(box.left + x, box.top + y, box.right + x, box.bottom + y), name=symbol.name))

    def wire(self, points: Sequence[Point], pen: Pen) -> None:
        """Draw a conductor through points; one without length is left out."""
        listed = tuple(points)
        if len(set(listed)) > 1:
            self.items.append(Item("wire", (Polyline(listed, pen),), box_of_points(listed).grown(pen.width_mm / 2), listed))

    def dot(self, x: float, y: float, radius: float, color: Color) -> None:
        """Mark a place where conductors are joined."""
        self.items.append(Item("wire", (circle(x, y, radius, fill=color),), Box(x - radius, y - radius, x + radius, y + radius)))

    def text(self, x: float, baseline: float, words: str, style: TextStyle, anchor: Anchor = "start", *, about: str = "") -> None:
        """Write one line; ``about`` is the tag of the unit that it tells of."""
        if words.strip():
            text = Text(x, baseline, words, style, anchor)
            self.items.append(Item("text", (text,), text_box(text), name=about))

    def boundary(self, box: Box, pen: Pen) -> None:
        """Draw the outline of an enclosure or an array."""
        self.items.append(Item("boundary", (rectangle(box.left, box.top, box.width, box.height, pen=pen),), box))

    def bar(self, x: float, top: float, bottom: float, pen: Pen) -> None:
        """Draw an upright busbar."""
        half = pen.width_mm / 2
        self.items.append(Item("bar", (Line(x, top, x, bottom, pen),), Box(x - half, top, x + half, bottom), name="busbar"))

    def add(self, other: Sketch, dx: float, dy: float) -> None:
        """Take over everything of another sketch, shifted."""
        self._parts.append((other, dx, dy))

    def placed(self, dx: float = 0.0, dy: float = 0.0) -> Iterator[tuple[Item, float, float]]:
        """Yield every item with its shift."""
        for item in self.items:
            yield item, dx, dy
        for part, x, y in self._parts:
            yield from part.placed(dx + x, dy + y)

    @property
    def box(self) -> Box:
        """Box around everything; of no size where nothing was drawn. Kept until something is added."""
        count = len(self.items) + len(self._parts)
        if self._known is None or self._known[0] != count:
            self._known = (count, self._measured())
        return self._known[1]

    def _measured(self) -> Box:
        boxes = [item.box for item in self.items]
        for part, dx, dy in self._parts:
            box = part.box
            boxes.append(Box(box.left + dx, box.top + dy, box.right + dx, box.bottom + dy))
        if not boxes:
            return Box(0, 0, 0, 0)
        return Box(min(b.left for b in boxes), min(b.top for b in boxes), max(b.right for b in boxes), max(b.bottom for b in boxes))

    def flattened(self, dx: float = 0.0, dy: float = 0.0) -> list[Item]:
        """Return every item where it lies once the whole is shifted by (dx, dy), in drawing order: outlines, wires, symbols, texts."""
        moved = [item.moved(x, y) for item, x, y in self.placed(dx, dy)]
        return sorted(moved, key=lambda item: _ORDER[item.kind])


@dataclass(frozen=True)
class Block:
    """A unit with everything beyond it: ``entries`` are the y of its ways in, all at x = 0."""

    sketch: Sketch
    entries: tuple[float, ...]
    box: Box


def block_of(sketch: Sketch, entries: tuple[float, ...]) -> Block:
    """Return a sketch as a block."""
    return Block(sketch, entries, sketch.box)
