"""Finds room for notes and small tables beside a drawing that is already laid out."""

from __future__ import annotations

import itertools
import math

from permitgen.documents.canvas.bounds import Box

_CELL_MM = 2.0
_LEAST_WIDTH_MM, _LEAST_HEIGHT_MM = 24.0, 9.0
"""Nothing is placed where there is less than this."""
_TOLERANCE_MM = 1e-6


class FreeSpace:
    """The room of a sheet as its largest free rectangles, each as wide and tall as it can be; what is taken stays taken.

    How much is free is counted in cells of 2 mm: each row is a number with a bit for each free cell.
    """

    def __init__(self, room: Box, like: FreeSpace | None = None) -> None:
        self.room = room
        self._columns = int(room.width / _CELL_MM)
        self.largest: list[Box] = [room]
        self._free: list[int] = [(1 << self._columns) - 1] * int(room.height / _CELL_MM)
        if like is not None:
            self.largest, self._free = like.largest, list(like._free)  # noqa: SLF001

    def copy(self) -> FreeSpace:
        """Return room of which as much is taken."""
        return FreeSpace(self.room, self)

    @property
    def free_area(self) -> float:
        """How much is free, mm²."""
        return sum(map(int.bit_count, self._free)) * _CELL_MM**2

    def take(self, box: Box) -> None:
        """Mark a box as taken."""
        left, right = self._span(box.left - self.room.left, box.right - self.room.left, self._columns)
        top, bottom = self._span(box.top - self.room.top, box.bottom - self.room.top, len(self._free))
        kept = ~(((1 << (right - left)) - 1) << left)
        for row in range(top, bottom):
            self._free[row] &= kept
        self.largest = _without(self.largest, box)

    @staticmethod
    def _span(start: float, end: float, limit: int) -> tuple[int, int]:
        first, last = max(0, math.floor(start / _CELL_MM)), min(limit, math.ceil(end / _CELL_MM))
        return first, max(first, last)

    def find(self, width: float, height: float, *, from_top: bool = False) -> tuple[float, float] | None:
        """Return the top left corner of the lowest (or highest), then leftmost free place of that size, or None."""
        wide, tall = width - _TOLERANCE_MM, height - _TOLERANCE_MM
        holding = [box for box in self.largest if box.width >= wide and box.height >= tall]
        if not holding:
            return None
        if from_top:
            top, left = min((box.top, box.left) for box in holding)
            return left, top
        top, left = max((box.bottom - height, -box.left) for box in holding)
        return -left, top

    def find_sparing(self, width: float, height: float) -> tuple[float, float] | None:
        """Return the top left corner of the free place of that size that leaves the largest free rectangle, of several the highest."""
        best: tuple[float, float, float] | None = None
        for box in self.largest:
            if box.width < width - _TOLERANCE_MM or box.height < height - _TOLERANCE_MM:
                continue
            for left, top in itertools.product((box.left, box.right - width), (box.top, box.bottom - height)):
                left_over = _without(self.largest, Box(left, top, left + width, top + height))
                key = (-max((each.width * each.height for each in left_over), default=0.0), top, left)
                best = min(best, key) if best is not None else key
        return (best[2], best[1]) if best is not None else None


def _without(largest: list[Box], taken: Box) -> list[Box]:
    """Return the largest free rectangles once a box is taken."""
    kept: list[Box] = []
    parts: list[Box] = []
    left, top, right, bottom = taken
    for box in largest:
        if left >= box[2] or right <= box[0] or top >= box[3] or bottom <= box[1]:
            kept.append(box)
        else:
            parts += _around(box, taken)
    # A part lies within the rectangle that it is cut from, so it can hold none of those that are kept.
    parts.sort(key=lambda box: box.width * box.height, reverse=True)
    for part in parts:
        if not _lies_in_one_of(kept, part):
            kept.append(part)
    return kept


def _lies_in_one_of(boxes: list[Box], part: Box) -> bool:
    """Whether one of the boxes contains the part: written out, since packing a sheet asks it a million times."""
    left, top, right, bottom = part
    for one in boxes:
        if (
            left >= one[0] - _TOLERANCE_MM
            and top >= one[1] - _TOLERANCE_MM
            and right <= one[2] + _TOLERANCE_MM
            and bottom <= one[3] + _TOLERANCE_MM
        ):
            return True
    return False


def _around(box: Box, taken: Box) -> list[Box]:
    """Return what is left of a rectangle at each side of what is taken from it, where that is worth keeping."""
    left, top, right, bottom = box
    is_tall, is_wide = bottom - top >= _LEAST_HEIGHT_MM, right - left >= _LEAST_WIDTH_MM
    sides: list[Box] = []
    if is_tall and taken.left - left >= _LEAST_WIDTH_MM:
        sides.append(Box(left, top, taken.left, bottom))
    if is_tall and right - taken.right >= _LEAST_WIDTH_MM:
        sides.append(Box(taken.right, top, right, bottom))
    if is_wide and taken.top - top >= _LEAST_HEIGHT_MM:
        sides.append(Box(left, top, right, taken.top))
    if is_wide and bottom - taken.bottom >= _LEAST_HEIGHT_MM:
        sides.append(Box(left, taken.bottom, right, bottom))
    return sides
