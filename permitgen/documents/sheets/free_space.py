"""Finds room for notes and small tables beside a drawing that is already laid out."""

from __future__ import annotations

import math
from collections.abc import Iterable
from copy import copy
from functools import lru_cache

from permitgen.documents.canvas.bounds import Box

_CELL_MM = 2.0


class FreeSpace:
    """The room of a sheet in cells of 2 mm; what is taken stays taken.

    All cells are one number with a bit for each free cell, row below row; the bit behind each row is never free, so that nothing goes on
    from one row to the next.
    """

    def __init__(self, room: Box, taken: Iterable[Box]) -> None:
        self.room = room
        self.columns, self._rows = int(room.width / _CELL_MM), int(room.height / _CELL_MM)
        self._stride = self.columns + 1
        self._free = self._block(self.columns, self._rows)
        self._failed: list[tuple[int, int]] = []
        for box in taken:
            self.take(box)

    def copy(self) -> FreeSpace:
        """Return room of which as much is taken."""
        other = copy(self)
        other._failed = list(self._failed)  # noqa: SLF001 - of its own kind
        return other

    @property
    def free_area(self) -> float:
        """How much is free, mm²."""
        return self._free.bit_count() * _CELL_MM**2

    def take(self, box: Box) -> None:
        """Mark a box as taken."""
        left, right = self._span(box.left - self.room.left, box.right - self.room.left, self.columns)
        top, bottom = self._span(box.top - self.room.top, box.bottom - self.room.top, self._rows)
        self._free &= ~(self._block(right - left, bottom - top) << (top * self._stride + left))

    def _block(self, across: int, down: int) -> int:
        return ((1 << across) - 1) * _ones(self._stride, down)

    @staticmethod
    def _span(start: float, end: float, limit: int) -> tuple[int, int]:
        first, last = max(0, math.floor(start / _CELL_MM)), min(limit, math.ceil(end / _CELL_MM))
        return first, max(first, last)

    def find(self, width: float, height: float, *, margin: float = 3.0, from_top: bool = False) -> tuple[float, float] | None:
        """Return the top left corner of the lowest (or highest), then leftmost free rectangle with a margin around it, or None."""
        across, down = math.ceil((width + 2 * margin) / _CELL_MM), math.ceil((height + 2 * margin) / _CELL_MM)
        across = min(across, self.columns) if width <= self.room.width else across
        down = min(down, self._rows) if height <= self.room.height else down
        if across > self.columns or down > self._rows or any(across >= wide and down >= tall for wide, tall in self._failed):
            return None
        corners = _all_free(_all_free(self._free, down, self._stride), across, 1)
        if not corners:
            # A sheet only fills: what found no room finds none later, nor does anything larger.
            self._failed.append((across, down))
            return None
        if not from_top:
            lowest = (corners.bit_length() - 1) // self._stride
            corners = corners >> (lowest * self._stride) << (lowest * self._stride)
        top, left = divmod((corners & -corners).bit_length() - 1, self._stride)
        return self.room.left + left * _CELL_MM + margin, self.room.top + top * _CELL_MM + margin


@lru_cache(maxsize=1024)
def _ones(stride: int, count: int) -> int:
    """Return a number with ``count`` bits, ``stride`` apart."""
    return sum(1 << stride * row for row in range(count))


def _all_free(cells: int, count: int, apart: int) -> int:
    """Return the cells from which ``count`` cells, ``apart`` bits from one to the next, are free."""
    done = 1
    while cells and done < count:
        step = min(done, count - done)
        cells &= cells >> step * apart
        done += step
    return cells
