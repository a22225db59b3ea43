"""Narrows a table: which of its columns break their lines, so that the table grows as little as it can."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from permitgen.documents.canvas.table import Table
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.typography import plain_text
from permitgen.documents.sheets.flowing import cell_words, delta_room, natural_width, natural_widths

_LEAST_COLUMN_MM = 26.0
"""To less than this no column of sentences is narrowed."""
_RAGGED = 1.08
"""How much longer a text is once broken: lines end with words."""
_CELLS_TRIED, _LINES_TRIED = 4, 8
_LADDER = 5
"""More lines than this in one cell are a ladder of a few words each."""
_ROUNDS = 3


def narrowed(table: Table, width: float) -> Table | None:
    """Return a table that is no wider than ``width`` mm, as little tall as its columns allow; None where a word would be broken."""
    if natural_width(table) <= width + 1e-6:
        return table
    return _narrowed(table, math.floor(width * 4.0) / 4.0)


@lru_cache(maxsize=2048)
def _narrowed(table: Table, width: float) -> Table | None:
    natural = natural_widths(table)
    room = width - delta_room(table)
    cells = _measured(table)
    widths = _level(natural, cells.least, room)
    if widths is None:
        return None
    for _ in range(_ROUNDS):
        better = _exchanged(widths, natural, cells)
        if better == widths:
            break
        widths = better
    return replace(table, columns=tuple(replace(c, share=0.0, width_mm=w) for c, w in zip(table.columns, widths, strict=True)))


@dataclass(frozen=True, slots=True)
class _Cells:
    """How wide each cell is on one line, and how narrow each column may become."""

    rows: tuple[tuple[float, ...], ...]
    least: tuple[float, ...]

    def height(self, widths: Sequence[float]) -> float:
        """Return about how many lines the rows take together; of two ways with as many rows the one with fewer broken cells is less."""
        total = 0.0
        for row in self.rows:
            lines = [1 if cell <= width + 1e-6 else math.ceil(cell * _RAGGED / width) for cell, width in zip(row, widths, strict=True)]
            total += max(lines) + 0.01 * sum(lines)
        return total

    def wanted(self, column: int, natural: float) -> Iterator[float]:
        """Yield the widths at which some cell of a column takes a line less."""
        longest = sorted({row[column] for row in self.rows}, reverse=True)[:_CELLS_TRIED]
        for cell, lines in itertools.product(longest, range(1, _LINES_TRIED)):
            width = cell if lines == 1 else cell * _RAGGED / lines
            if self.least[column] <= width <= natural:
                yield width


def is_ladder(table: Table, narrower: Table, widest: float) -> bool:
    """Whether a narrowed table breaks a cell into many short lines, and would not if it were as wide as it may be, ``widest`` mm."""
    lines = _most_lines(table, narrower)
    if lines <= _LADDER:
        return False
    wide = narrowed(table, widest)
    return wide is None or lines > max(_LADDER, 2 * _most_lines(table, wide))


def _most_lines(table: Table, narrower: Table) -> int:
    """Return about how many lines the tallest cell of a table takes when it is narrowed."""
    widths = [
        own if column.width_mm is None else column.width_mm for own, column in zip(natural_widths(table), narrower.columns, strict=True)
    ]
    pairs = [(cell, width) for row in _measured(table).rows for cell, width in zip(row, widths, strict=True)]
    return max((1 if cell <= width + 1e-6 else math.ceil(cell * _RAGGED / width) for cell, width in pairs), default=1)


@lru_cache(maxsize=512)
def _measured(table: Table) -> _Cells:
    """Return the cells of a table with their padding, and the width of the longest word of each column."""
    style, pads = table.style, 2 * table.style.pad_x_mm
    natural = natural_widths(table)
    rows = tuple(tuple(text_width(words, style.text) + pads for words in cell_words(row)) for row in table.rows)
    words = [[plain_text(column.heading)] for column in table.columns]
    for row in table.rows:
        for column, text in zip(words, cell_words(row), strict=True):
            column.extend(text.split(" "))
    longest = (max(max(text_width(w, style.text), text_width(w, style.head)) for w in column) + pads for column in words)
    return _Cells(rows, tuple(min(own, max(word, min(own, _LEAST_COLUMN_MM))) for word, own in zip(longest, natural, strict=True)))


def _level(natural: Sequence[float], least: Sequence[float], room: float) -> tuple[float, ...] | None:
    """Return widths of which the widest give way, all to one width; None where the room is too little."""
    if sum(least) > room:
        return None
    low, high = 0.0, max(natural)
    for _ in range(40):
        level = (low + high) / 2
        taken = sum(max(few, min(own, level)) for few, own in zip(least, natural, strict=True))
        low, high = (level, high) if taken <= room else (low, level)
    return tuple(max(few, min(own, low)) for few, own in zip(least, natural, strict=True))


def _exchanged(widths: tuple[float, ...], natural: Sequence[float], cells: _Cells) -> tuple[float, ...]:
    """Return widths of which one column has given to another what made the table less tall."""
    best, lowest = widths, cells.height(widths)
    for taker, giver in itertools.permutations(range(len(widths)), 2):
        for width in cells.wanted(taker, natural[taker]):
            given = best[giver] - (width - best[taker])
            if not cells.least[giver] <= given <= natural[giver]:
                continue
            tried = tuple(width if i == taker else given if i == giver else own for i, own in enumerate(best))
            height = cells.height(tried)
            if height < lowest - 1e-9:
                best, lowest = tried, height
    return best
