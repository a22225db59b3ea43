"""The blocks that a text document is made of. They hold words and shapes, never positions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from permitgen.documents.canvas.shapes import Shape
from permitgen.documents.canvas.table import Table
from permitgen.documents.canvas.typography import Words


@dataclass(frozen=True, slots=True)
class Title:
    """The document's name in large letters with a line below it."""

    words: Words
    subtitle: Words = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of level 0 to 2. ``bookmark`` is the key for links; with ``in_outline`` it is listed by the viewer."""

    words: Words
    level: int = 0
    bookmark: str = ""
    in_outline: bool = True
    begins_page: bool = False


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text. ``size`` picks the style; ``measure_mm`` limits the line length (0: the whole column).

    ``leads_in`` holds it on one page with the block that it introduces.
    """

    words: Words
    size: Literal["body", "small"] = "body"
    measure_mm: float = 150.0
    indent_mm: float = 0.0
    leads_in: bool = False


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list of points, each with a mark in front (or a number when ``numbered``)."""

    items: tuple[Words, ...]
    mark: str = "•"
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """Names and values in one or more columns, hairlines between."""

    pairs: tuple[tuple[Words, Words], ...]
    columns: int = 1
    name_width_mm: float = 42.0


@dataclass(frozen=True, slots=True)
class Note:
    """A short text set off by a bar at its left: a note, a caution, a violation, a pass."""

    words: Words
    kind: Literal["note", "caution", "violation", "passes"] = "note"
    label: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """Shapes of our own, origin at the top left of the column, ``height_mm`` tall, with a line of words below."""

    shapes: tuple[Shape, ...]
    height_mm: float
    caption: Words = ""


@dataclass(frozen=True, slots=True)
class Together:
    """Blocks that stay on one page if they fit on one."""

    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Space:
    """Free height in mm; dropped at the top of a page."""

    height_mm: float


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows begins a page."""


Block = Title | Heading | Paragraph | Bullets | Facts | Note | Figure | Table | Together | Space | PageBreak
