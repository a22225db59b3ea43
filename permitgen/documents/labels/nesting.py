"""Places rectangles on sheets so that straight cuts from edge to edge set them free. Lengths in mm.

Each rectangle goes into the free area that it leaves least of; the rest is cut in two along the shorter remainder.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.documents.labels.set_label import SetLabel

_TOLERANCE_MM = 1e-6


@dataclass(frozen=True, slots=True)
class NestedItem:
    """A rectangle with what it carries: a label and its caption."""

    width: float
    height: float
    carries: tuple[SetLabel, str]


@dataclass(frozen=True, slots=True)
class _Free:
    x: float
    y: float
    width: float
    height: float

    def left_over(self, item: NestedItem) -> float | None:
        """Return the shorter remainder beside or below an item, or None when it does not fit."""
        across, down = self.width - item.width, self.height - item.height
        return min(across, down) if across >= -_TOLERANCE_MM and down >= -_TOLERANCE_MM else None

    def without(self, item: NestedItem) -> list[_Free]:
        """Return what remains when an item stands in the top left corner."""
        across, down = self.width - item.width, self.height - item.height
        cut_along = across <= down
        beside = _Free(self.x + item.width, self.y, across, item.height if cut_along else self.height)
        below = _Free(self.x, self.y + item.height, self.width if cut_along else item.width, down)
        return [free for free in (beside, below) if free.width > _TOLERANCE_MM and free.height > _TOLERANCE_MM]


@dataclass(slots=True)
class NestedSheet:
    """One sheet while it fills: ``placed`` holds left, top and what was placed there."""

    width: float
    height: float
    placed: list[tuple[float, float, tuple[SetLabel, str]]] = field(default_factory=list)
    _free: list[_Free] = field(default_factory=list)

    def place(self, item: NestedItem) -> bool:
        """Place an item and return True, or return False when no free area takes it."""
        if not self.placed:
            self._free = [_Free(0.0, 0.0, self.width, self.height)]
        fitting = [(left, index) for index, free in enumerate(self._free) if (left := free.left_over(item)) is not None]
        if not fitting:
            return False
        free = self._free.pop(min(fitting)[1])
        self.placed.append((free.x, free.y, item.carries))
        self._free.extend(free.without(item))
        return True
