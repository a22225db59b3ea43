"""Checks of a finished drawing: texts that meet, lines through symbols or texts, anything outside the frame.

An empty answer is a clean drawing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.diagram.sketch import Item

_TOUCH_MM = 0.15
"""Boxes that share less than this in either direction only touch."""


def clashes(items: Sequence[Item], frame: Box) -> list[str]:
    """Return a sentence for every clash among ``items`` and for everything outside ``frame``."""
    texts = [item for item in items if item.kind == "text"]
    symbols = [item for item in items if item.kind == "symbol"]
    bars = [item for item in items if item.kind == "bar"]
    segments = list(_segments(items))
    found = [
        f"{_said(one)} meets {_said(other)}" for index, one in enumerate(texts) for other in texts[index + 1 :] if _meet(one.box, other.box)
    ]
    found += [f"{_said(text)} meets {_said(thing)}" for text in texts for thing in (*symbols, *bars) if _meet(text.box, thing.box)]
    found += [
        f"{_said(one)} meets {_said(other)}"
        for index, one in enumerate(symbols)
        for other in symbols[index + 1 :]
        if _meet(one.box, other.box)
    ]
    found += [
        f"a line runs through {_said(thing)}" for thing in (*texts, *symbols) for segment in segments if _runs_through(segment, thing)
    ]
    found += [
        f"the outline of an enclosure runs through {_said(text)}" for text in texts for edge in _edges(items) if _meet(text.box, edge)
    ]
    found += [f"{_said(item)} is outside the frame" for item in items if not frame.contains(item.box, 0.01)]
    return found


def _meet(one: Box, other: Box) -> bool:
    shared = one.shared(other)
    return shared is not None and shared.width > _TOUCH_MM and shared.height > _TOUCH_MM


def _segments(items: Sequence[Item]) -> Iterator[Box]:
    """Yield every straight piece of wire as a box without thickness."""
    for item in items:
        if item.kind == "wire":
            for (x1, y1), (x2, y2) in zip(item.points, item.points[1:], strict=False):
                yield Box(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))


def _runs_through(segment: Box, thing: Item) -> bool:
    """Whether a piece of wire enters a box; ending at its edge is how wires meet symbols."""
    inner = thing.box.grown(-0.3)
    if thing.kind == "symbol" and thing.name in _DRAWN_AT_A_POINT:
        return False
    return segment.left < inner.right and segment.right > inner.left and segment.top < inner.bottom and segment.bottom > inner.top


# The stem of the ground symbol begins where its conductor ends, and the bond's bar takes the conductor in its middle.
_DRAWN_AT_A_POINT = frozenset({"ground", "neutral bond", "no neutral bond"})


def _edges(items: Sequence[Item]) -> Iterator[Box]:
    """Yield the four sides of every enclosure as thin boxes."""
    for item in items:
        if item.kind == "boundary":
            box, half = item.box, 0.2
            yield Box(box.left, box.top - half, box.right, box.top + half)
            yield Box(box.left, box.bottom - half, box.right, box.bottom + half)
            yield Box(box.left - half, box.top, box.left + half, box.bottom)
            yield Box(box.right - half, box.top, box.right + half, box.bottom)


def _said(item: Item) -> str:
    texts = [shape.text for shape in item.shapes if isinstance(shape, Text)]
    return f'"{texts[0]}"' if item.kind == "text" and texts else f"the {item.name or item.kind}{' ' + texts[0] if texts else ''}"
