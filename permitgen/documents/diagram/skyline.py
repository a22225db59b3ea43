"""How low things already reach, column by column: what comes next is pushed down just far enough to clear them."""

from __future__ import annotations

import math
from collections.abc import Iterable

from permitgen.documents.diagram.sketch import Item

_COLUMN_MM = 1.0
_MARGIN_MM = 1.0
"""Room kept at both sides of everything."""


class Skyline:
    """The lower edge of everything placed so far, by columns 1 mm wide."""

    def __init__(self) -> None:
        self._lowest: dict[int, float] = {}

    def add(self, items: Iterable[Item], dx: float, dy: float) -> None:
        """Take in items shifted by (dx, dy)."""
        for item in items:
            bottom = item.box.bottom + dy
            for column in _columns(item, dx):
                if bottom > self._lowest.get(column, -math.inf):
                    self._lowest[column] = bottom

    def clearance(self, items: Iterable[Item], dx: float) -> float:
        """Return the least dy at which items shifted by dx touch nothing placed so far; minus infinity when nothing is above them."""
        needed = -math.inf
        for item in items:
            for column in _columns(item, dx):
                needed = max(needed, self._lowest.get(column, -math.inf) - item.box.top)
        return needed


def _columns(item: Item, dx: float) -> range:
    return range(math.floor((item.box.left + dx - _MARGIN_MM) / _COLUMN_MM), math.ceil((item.box.right + dx + _MARGIN_MM) / _COLUMN_MM))
