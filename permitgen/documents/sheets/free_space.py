"""Finds room for notes and small tables beside a drawing that is already laid out."""

from __future__ import annotations

import math
from collections.abc import Iterable

from permitgen.documents.canvas.bounds import Box

_CELL_MM = 2.0


class FreeSpace:
    """The room of a sheet in cells of 2 mm; what is taken stays taken. Each row is a number with a bit for each free cell."""

    def __init__(self, room: Box, taken: Iterable[Box]) -> None:
        self.room = room
        self.columns = int(room.width / _CELL_MM)
        self._free = [(1 << self.columns) - 1] * int(room.height / _CELL_MM)
        self._failed: list[tuple[int, int]] = []
        self._free_area: float | None = None
        for box in taken:
            self.take(box)

    def copy(self) -> FreeSpace:
        """Return room of which as much is taken."""
        other = FreeSpace(self.room, ())
        other._free, other._failed = list(self._free), list(self._failed)
        return other

    @property
    def free_area(self) -> float:
        """How much is free, mm²."""
        if self._free_area is None:
            self._free_area = sum(row.bit_count() for row in self._free) * _CELL_MM**2
        return self._free_area

    def take(self, box: Box) -> None:
        """Mark a box as taken."""
        left, right = self._span(box.left - self.room.left, box.right - self.room.left, self.columns)
        top, bottom = self._span(box.top - self.room.top, box.bottom - self.room.top, len(self._free))
        kept = ~(((1 << (right - left)) - 1) << left)
        for row in range(top, bottom):
            self._free[row] &= kept
        self._free_area = None

    @staticmethod
    def _span(start: float, end: float, limit: int) -> tuple[int, int]:
        first, last = max(0, math.floor(start / _CELL_MM)), min(limit, math.ceil(end / _CELL_MM))
        return first, max(first, last)

    def find(self, width: float, height: float, *, margin: float = 3.0, from_top: bool = False) -> tuple[float, float] | None:
        """Return the top left corner of the lowest (or highest), then leftmost free rectangle with a margin around it, or None."""
        rows = len(self._free)
        across, down = math.ceil((width + 2 * margin) / _CELL_MM), math.ceil((height + 2 * margin) / _CELL_MM)
        across = min(across, self.columns) if width <= self.room.width else across
        down = min(down, rows) if height <= self.room.height else down
        if across > self.columns or down > rows or any(across >= wide and down >= tall for wide, tall in self._failed):
            return None
        free = _free_below(self._free, down)
        tops = range(rows - down + 1)
        for top in tops if from_top else reversed(tops):
            starts = _free_beside(free[top], across)
            if starts:
                left = (starts & -starts).bit_length() - 1
                return self.room.left + left * _CELL_MM + margin, self.room.top + top * _CELL_MM + margin
        # A sheet only fills: what found no room finds none later, nor does anything larger.
        self._failed.append((across, down))
        return None


def _free_below(rows: list[int], down: int) -> list[int]:
    """Return for each row the cells from which ``down`` cells are free, those rows only below which there are so many."""
    done = 1
    while done < down:
        step = min(done, down - done)
        rows = [here & below for here, below in zip(rows, rows[step:], strict=False)]
        done += step
    return rows


def _free_beside(row: int, across: int) -> int:
    """Return the cells of a row from which ``across`` cells to the right are free."""
    done = 1
    while row and done < across:
        step = min(done, across - done)
        row &= row >> step
        done += step
    return row
