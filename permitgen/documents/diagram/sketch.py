"""What is being drawn, piece by piece and by kind, so that it can be moved as a whole and checked for clashes before it becomes a page."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from permitgen.documents.canvas.bounds import Box, bounds, box_of_points, shifted, text_box
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.shapes import Anchor, Point, Polyline, Shape, Text
from permitgen.documents.canvas.styles import Pen, TextStyle
from permitgen.documents.symbols.symbol import UNIT, Symbol

ItemKind = Literal["wire", "boundary", "symbol", "text"]
_ORDER: dict[ItemKind, int] = {"boundary": 0, "wire": 1, "symbol": 2, "text": 3}


def snapped(length: float) -> float:
    """Return ``length`` rounded up to the grid."""
    return math.ceil(length / UNIT - 1e-6) * UNIT


@dataclass(frozen=True, slots=True)
class Item:
    """One thing on the drawing with its box; ``points`` are the corners of a wire; ``name`` says which symbol."""

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
    """A growing list of items. Lengths in mm, y down."""

    def __init__(self, items: Iterable[Item] = ()) -> None:
        self.items: list[Item] = list(items)

    def symbol(self, symbol: Symbol, x: float, y: float) -> None:
        """Place a symbol with its origin at (x, y)."""
        box = symbol.box
        self.items.append(Item("symbol", symbol.at(x, y), Box(box.left + x, box.top + y, box.right + x, box.bottom + y), name=symbol.name))

    def wire(self, points: Sequence[Point], pen: Pen) -> None:
        """Draw a conductor through points; one without length is left out."""
        listed = tuple(points)
        if len(set(listed)) > 1:
            self.items.append(Item("wire", (Polyline(listed, pen),), box_of_points(listed).grown(pen.width_mm / 2), listed))

    def text(self, x: float, baseline: float, words: str, style: TextStyle, anchor: Anchor = "start") -> None:
        """Write one line."""
        if words.strip():
            text = Text(x, baseline, words, style, anchor)
            self.items.append(Item("text", (text,), text_box(text)))

    def boundary(self, box: Box, pen: Pen) -> None:
        """Draw the outline of an enclosure or an array."""
        self.items.append(Item("boundary", (rectangle(box.left, box.top, box.width, box.height, pen=pen),), box))

    def add(self, other: Sketch, dx: float, dy: float) -> None:
        """Take over everything of another sketch, shifted."""
        self.items.extend(item.moved(dx, dy) for item in other.items)

    @property
    def box(self) -> Box:
        """Box around everything; of no size where nothing was drawn."""
        boxes = [item.box for item in self.items]
        return Box(min(b.left for b in boxes), min(b.top for b in boxes), max(b.right for b in boxes), max(b.bottom for b in boxes)) if boxes else Box(0, 0, 0, 0)

    def shapes(self) -> tuple[Shape, ...]:
        """Return everything in drawing order: outlines, wires, symbols, texts."""
        ordered = sorted(self.items, key=lambda item: _ORDER[item.kind])
        return tuple(shape for item in ordered for shape in item.shapes)


@dataclass(frozen=True)
class Block:
    """A unit with everything beyond it: ``entries`` are the y of its ways in, all at x = 0."""

    sketch: Sketch
    entries: tuple[float, ...]
    box: Box


def block_of(sketch: Sketch, entries: tuple[float, ...]) -> Block:
    """Return a sketch as a block."""
    return Block(sketch, entries, sketch.box)


__all__ = ["Block", "Item", "ItemKind", "Sketch", "block_of", "bounds", "snapped"]
