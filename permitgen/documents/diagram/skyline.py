"""How low things already reach, column by column: what comes next is pushed down just far enough to clear them."""

from __future__ import annotations

import math

from permitgen.documents.diagram.sketch import Item, Sketch

_COLUMN_MM = 2.0
_MARGIN_MM = 1.0
"""Room kept at both sides of everything."""


class Skyline:
    """The lower edge of everything placed so far, by columns 2 mm wide."""

    def __init__(self) -> None:
        self._lowest: dict[int, float] = {}

    def add(self, sketch: Sketch, dy: float) -> None:
        """Take in a sketch shifted down by dy."""
        lowest = self._lowest
        for item, dx, own in sketch.placed(0.0, dy):
            bottom = item.box.bottom + own
            for column in _columns(item, dx):
                if bottom > lowest.get(column, -math.inf):
                    lowest[column] = bottom

    def clearance(self, sketch: Sketch) -> float:
        """Return the least dy at which a sketch touches nothing placed so far; minus infinity when nothing is above it."""
        needed = -math.inf
        for item, dx, own in sketch.placed():
            top = item.box.top + own
            for column in _columns(item, dx):
                needed = max(needed, self._lowest.get(column, -math.inf) - top)
        return needed


def _columns(item: Item, dx: float) -> range:
    return range(math.floor((item.box.left + dx - _MARGIN_MM) / _COLUMN_MM), math.ceil((item.box.right + dx + _MARGIN_MM) / _COLUMN_MM))
