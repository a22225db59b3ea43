"""The forms that a group of blocks may take on a sheet: as wide as it likes, narrower, in several columns."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from permitgen.documents.canvas.bounds import Box, bounds
from permitgen.documents.canvas.shapes import Shape
from permitgen.documents.canvas.strips import PlacedStrip, Strip, column_shapes, deal_to_pages
from permitgen.documents.canvas.table import Table
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.sheets.flowing import Block, Figure, Notes, Paragraph, natural_width, placed_block, strips_of
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.narrowing import is_ladder, narrowed

_TEXT_WIDTHS_MM = (120.0, 100.0, 84.0, 70.0, 58.0, 50.0)
"""Of a group without a table or figure."""
_NARROWER = (0.88, 0.76, 0.66, 0.58, 0.5)
"""A table that finds no room at its natural width breaks the lines of its longest column."""
_NARROWEST = 0.4
"""Of the width that a group likes: with less it is a ladder of single words."""
_WIDE = 0.6
_MOST_LINES_OF_TEXT = 6
"""Running text that takes more lines than this below a narrow table is set wider than the table."""
_GAP_MM = 6.0
_LEAST_BEGUN_MM, _LEAST_ROWS = 45.0, 6
"""A table is begun in no less room, and with no fewer rows, than these; nor are fewer left for the next sheet."""
_LEAST_COLUMN_MM = 40.0
"""Less of a table than this is not begun in a column."""


@dataclass(frozen=True, slots=True)
class Piece:
    """Shapes with their origin at the top left, how wide and how tall they are; ``column`` is the width of each of its columns."""

    shapes: tuple[Shape, ...]
    width: float
    height: float
    column: float


class GroupForms:
    """The forms of one group that fit the room, each made once and not before it is asked for."""

    def __init__(self, group: Sequence[Block], room: Box) -> None:
        self._group, self._room = group, room
        self._made: list[Piece] = []
        self._more = _in_order(group, room)
        self._fitted: dict[int, Piece | None] = {}
        self._widest = _widest(group, room)[1]

    def __iter__(self) -> Iterator[Piece]:
        """Yield the forms of the widths that are tried everywhere, the best first."""
        yield from self._made
        for piece in self._more:
            self._made.append(piece)
            yield piece

    def as_wide_as(self, width: float) -> Piece | None:
        """Return the group as wide as some free room, where that is narrower than the group likes to be; None where it cannot be."""
        whole = math.floor(width)
        if not _NARROWEST * self._widest <= whole < self._widest:
            return None
        if whole not in self._fitted:
            blocks = _at_width(self._group, whole, self._widest)
            self._fitted[whole] = _in_one(blocks, whole) if blocks is not None else None
        return self._fitted[whole]


def _in_order(group: Sequence[Block], room: Box) -> Iterator[Piece]:
    """Yield the forms of a group, the best first.

    That is the widest; but a table nearly as wide as the sheet is so for the longest of its sentences, and the form that takes the
    least of the sheet comes first.
    """
    forms = _forms(group, room)
    _, widest = _widest(group, room)
    yield from forms if widest <= _WIDE * room.width else sorted(forms, key=lambda piece: piece.width * piece.height)


def _forms(group: Sequence[Block], room: Box) -> Iterator[Piece]:
    for blocks, width in _widths(group, room):
        piece = _in_one(blocks, width)
        if piece.width <= room.width and piece.height <= room.height:
            yield piece
        for columns in (2, 3):
            if columns * (width + _GAP_MM) - _GAP_MM <= room.width and piece.height / columns >= _LEAST_COLUMN_MM:
                split = _in_columns(blocks, width, columns, room.height)
                if split is not None:
                    yield split


def parted(group: Sequence[Block], room: Box) -> tuple[Piece, ...]:
    """Return a group taller than a sheet over several, in as many columns as each holds."""
    blocks, width = _widest(group, room)
    columns = max(1, int((room.width + _GAP_MM) // (width + _GAP_MM)))
    dealt = deal_to_pages(strips_of(blocks, width, room.height), room.height)
    return tuple(_beside(dealt[start : start + columns], width) for start in range(0, len(dealt), columns))


def begun(group: Sequence[Block], free: Sequence[Box], room: Box) -> tuple[tuple[float, float], tuple[Piece, ...]] | None:
    """Return a table that begins in one of the free places of a sheet and goes on on others, with where it begins.

    None where it has a figure, or where there is room for a few rows only or a few are left.
    """
    if not any(isinstance(block, Table) for block in group) or any(isinstance(block, Figure) for block in group):
        return None
    blocks, width = _widest(group, room)
    places = [box for box in free if box.width >= width + _GAP_MM and box.height >= _LEAST_BEGUN_MM]
    if not places:
        return None
    place = max(places, key=lambda box: box.height)
    strips = strips_of(blocks, width, room.height)
    first, *others = deal_to_pages(strips, room.height, min(place.height - _GAP_MM, room.height))
    if len(first) < _LEAST_ROWS or sum(map(len, others)) < _LEAST_ROWS:
        return None
    columns = max(1, int((room.width + _GAP_MM) // (width + _GAP_MM)))
    rest = tuple(_beside(others[start : start + columns], width) for start in range(0, len(others), columns))
    return (place.left, place.top), (_beside([first], width), *rest)


def _widest(group: Sequence[Block], room: Box) -> tuple[Sequence[Block], float]:
    """Return a group as wide as it likes to be, with that width."""
    return next(_widths(group, room), (group, room.width))


def _widths(group: Sequence[Block], room: Box) -> Iterator[tuple[Sequence[Block], float]]:
    """Yield a group with the widths that are tried everywhere, the widest first."""
    tables = [block for block in group if isinstance(block, Table)]
    figures = [reach.right for block in group if isinstance(block, Figure) and (reach := bounds(block.shapes)) is not None]
    natural = max([*(natural_width(table) for table in tables), *figures], default=0.0)
    natural = min(room.width, max(natural, _for_running_text(group, natural)) if natural else 0.0)
    if figures:
        yield group, natural
        return
    tried = (natural * part for part in (1.0, *_NARROWER)) if natural else (width for width in _TEXT_WIDTHS_MM if width <= room.width)
    for width in tried:
        blocks = _at_width(group, width, natural or width)
        if blocks is not None:
            yield blocks, width


def _for_running_text(group: Sequence[Block], width: float) -> float:
    """Return how wide a group is at least, so that running text below its narrow table or figure is no ladder."""
    said = [block.words for block in group if isinstance(block, Paragraph)]
    said += [item for block in group if isinstance(block, Notes) for item in block.items]
    longest = max((text_width(words, LETTERING.text) for words in said), default=0.0)
    if longest <= _MOST_LINES_OF_TEXT * width:
        return width
    return next((tried for tried in reversed(_TEXT_WIDTHS_MM) if longest <= _MOST_LINES_OF_TEXT * tried), _TEXT_WIDTHS_MM[0])


def _at_width(group: Sequence[Block], width: float, widest: float) -> Sequence[Block] | None:
    """Return a group whose tables give way to a width; None where that is too little for one, or where a figure is wider.

    Too little is also what makes a ladder of a table that is none at its ``widest``.
    """
    if any(isinstance(block, Figure) for block in group):
        return None
    narrower: list[Block] = []
    for block in group:
        given = narrowed(block, width) if isinstance(block, Table) else block
        if given is None or (isinstance(block, Table) and isinstance(given, Table) and is_ladder(block, given, widest)):
            return None
        narrower.append(given)
    return narrower


def _in_one(blocks: Sequence[Block], width: float) -> Piece:
    shapes, width, height = placed_block(blocks, width)
    return Piece(shapes, width, height, width)


def _in_columns(blocks: Sequence[Block], width: float, columns: int, tallest: float) -> Piece | None:
    """Return a group in columns of about one height; None where it does not fall into so many."""
    strips = _without_first_space(strips_of(blocks, width, tallest))
    height = sum(strip.height + strip.space_before for strip in strips) / columns
    for grown in (1.04, 1.12, 1.25, 1.4):
        dealt = deal_to_pages(strips, height * grown)
        if len(dealt) <= columns:
            break
    else:
        return None
    if len(dealt) < columns:
        return None
    piece = _beside(dealt, width)
    return piece if piece.height <= tallest else None


def _beside(columns: Sequence[Sequence[PlacedStrip]], width: float) -> Piece:
    """Return columns of one width beside each other."""
    shapes = [shape for index, column in enumerate(columns) for shape in column_shapes(column, index * (width + _GAP_MM), 0.0)]
    tallest = max(column[-1].y + column[-1].strip.height for column in columns)
    return Piece(tuple(shapes), len(columns) * (width + _GAP_MM) - _GAP_MM, tallest, width)


def _without_first_space(strips: Sequence[Strip]) -> list[Strip]:
    return [replace(strips[0], space_before=0.0), *strips[1:]]
