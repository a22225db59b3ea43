"""Finds room for notes and small tables beside a drawing that is already laid out."""

from __future__ import annotations

import math
from collections.abc import Iterable

from permitgen.documents.canvas.bounds import Box

_CELL_MM = 2.0


class FreeSpace:
    """The room of a sheet in cells of 2 mm; what is taken stays taken."""

    def __init__(self, room: Box, taken: Iterable[Box]) -> None:
        self.room = room
        self.columns = int(room.width / _CELL_MM)
        self.rows = int(room.height / _CELL_MM)
        self._taken = [bytearray(self.columns) for _ in range(self.rows)]
        self._heights: list[list[int]] | None = None
        self._failed: list[tuple[int, int]] = []
        for box in taken:
            self.take(box)

    def take(self, box: Box) -> None:
        """Mark a box as taken."""
        left, right = self._span(box.left - self.room.left, box.right - self.room.left, self.columns)
        top, bottom = self._span(box.top - self.room.top, box.bottom - self.room.top, self.rows)
        for row in range(top, bottom):
            self._taken[row][left:right] = b"\x01" * (right - left)
        self._heights = None

    @staticmethod
    def _span(start: float, end: float, limit: int) -> tuple[int, int]:
        first, last = max(0, math.floor(start / _CELL_MM)), min(limit, math.ceil(end / _CELL_MM))
        return first, max(first, last)

    def find(self, width: float, height: float, *, margin: float = 3.0, from_top: bool = False) -> tuple[float, float] | None:
        """Return the top left corner of the lowest (or highest), then leftmost free rectangle with a margin around it, or None."""
        across, down = math.ceil((width + 2 * margin) / _CELL_MM), math.ceil((height + 2 * margin) / _CELL_MM)
        across, down = (
            min(across, self.columns) if width <= self.room.width else across,
            min(down, self.rows) if height <= self.room.height else down,
        )
        if across > self.columns or down > self.rows or any(across >= wide and down >= tall for wide, tall in self._failed):
            return None
        free_below = self._free_heights()
        tops = range(self.rows - down + 1)
        for top in tops if from_top else reversed(tops):
            run = 0
            for column, free in enumerate(free_below[top]):
                run = run + 1 if free >= down else 0
                if run == across:
                    left = column - across + 1
                    return self.room.left + left * _CELL_MM + margin, self.room.top + top * _CELL_MM + margin
        # A sheet only fills: what found no room finds none later, nor does anything larger.
        self._failed.append((across, down))
        return None

    def _free_heights(self) -> list[list[int]]:
        """For each cell, how many free cells there are from it downward; kept until something is taken."""
        if self._heights is not None:
            return self._heights
        heights: list[list[int]] = [[0] * self.columns for _ in range(self.rows + 1)]
        for row in range(self.rows - 1, -1, -1):
            below, here = heights[row + 1], self._taken[row]
            heights[row] = [0 if here[column] else below[column] + 1 for column in range(self.columns)]
        self._heights = heights[: self.rows]
        return self._heights
