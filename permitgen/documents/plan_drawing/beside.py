"""Puts schedules and notes beside a drawing, in the free room of the sheet; what finds none goes on a sheet of its own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box, bounds
from permitgen.documents.canvas.shapes import Group, Shape, moved
from permitgen.documents.canvas.table import Table
from permitgen.documents.sheets.flowing import Block, flow_over_sheets, narrowed, natural_width, placed_block
from permitgen.documents.sheets.free_space import FreeSpace
from permitgen.documents.sheets.sheet import Drawing
from permitgen.documents.sheets.title_block import SheetName
from permitgen.views.plan_sheets import SHEETS, continued

_WIDTHS_MM = (120.0, 100.0, 84.0, 70.0, 58.0, 50.0)
_NARROWER = (0.85, 0.7, 0.58)
"""A table that finds no room at its natural width breaks the lines of its longest column."""
_AIR_MM = 2.0


@dataclass(slots=True)
class DrawnSheet:
    """Shapes of one sheet and the boxes they take; ``scale`` is what the title block prints."""

    shapes: list[Shape]
    taken: list[Box]
    scale: str


@dataclass(slots=True)
class _Filled:
    """A sheet with what has been put beside its drawing, and the groups of blocks that found no room."""

    shapes: list[Shape]
    left: list[Sequence[Block]]


def taken_by(shapes: Iterable[Shape]) -> list[Box]:
    """Return the room that a drawing takes: the box around everything it shows."""
    box = bounds(shapes)
    return [box.grown(_AIR_MM)] if box is not None else []


def drawings_of(
    number: str, sheets: Sequence[DrawnSheet], beside: Sequence[Sequence[Block]], room: Box, *, title: str = ""
) -> tuple[Drawing, ...]:
    """Return finished sheets: each group of blocks is placed on the first sheet with room for it, the rest flows over more sheets."""
    waiting: list[Sequence[Block]] = [list(blocks) for blocks in beside if blocks]
    finished: list[tuple[list[Shape], str]] = []
    for sheet in sheets:
        best = _best_filled(sheet, waiting, room)
        waiting = [blocks for blocks in waiting if blocks in best.left]
        finished.append((best.shapes, sheet.scale))
    left = [block for blocks in waiting for block in blocks]
    finished += [(list(shapes), "NO SCALE") for shapes in (flow_over_sheets(left, room, columns=_columns(left, room)) if left else ())]
    return tuple(
        Drawing(SheetName(continued(number, index), title or SHEETS[number], scale), tuple(shapes))
        for index, (shapes, scale) in enumerate(finished, start=1)
    )


def _best_filled(sheet: DrawnSheet, waiting: Sequence[Sequence[Block]], room: Box) -> _Filled:
    """Return a sheet filled in the order that leaves the fewest groups over; the first that leaves none."""
    best: _Filled | None = None
    for order in _orders(waiting):
        filled = _filled(sheet, order, room)
        if best is None or len(filled.left) < len(best.left):
            best = filled
        if not best.left:
            break
    return best or _Filled(list(sheet.shapes), [])


def _orders(waiting: Sequence[Sequence[Block]]) -> Iterator[Sequence[Sequence[Block]]]:
    """Yield the orders in which groups may be placed: as they come, tables before notes, and the other way round."""
    yield waiting
    if len(waiting) > 1:
        yield sorted(waiting, key=lambda blocks: -_table_width(blocks))
        yield sorted(waiting, key=lambda blocks: bool(_table_width(blocks)))


def _table_width(blocks: Sequence[Block]) -> float:
    return max((natural_width(block) for block in blocks if isinstance(block, Table)), default=0.0)


def _filled(sheet: DrawnSheet, order: Sequence[Sequence[Block]], room: Box) -> _Filled:
    filled = _Filled(list(sheet.shapes), [])
    space = FreeSpace(room, sheet.taken)
    for blocks in order:
        if not _put(blocks, space, filled.shapes):
            filled.left.append(blocks)
    return filled


def _columns(blocks: Sequence[Block], room: Box) -> int:
    """Two columns where every table keeps its natural width in one, so that no tag is broken."""
    return 2 if _table_width(blocks) <= (room.width - 8.0) / 2 else 1


def _forms(blocks: Sequence[Block]) -> Iterator[tuple[Sequence[Block], float]]:
    """Yield the forms that a group of blocks may have, with their widths: the widest first."""
    natural = _table_width(blocks)
    if not natural:
        yield from ((blocks, width) for width in _WIDTHS_MM)
        return
    yield blocks, natural
    for part in _NARROWER:
        width = natural * part
        narrower = [narrowed(block, width) if isinstance(block, Table) else block for block in blocks]
        if None not in narrower:
            yield [block for block in narrower if block is not None], width


def _put(blocks: Sequence[Block], space: FreeSpace, shapes: list[Shape]) -> bool:
    """Place blocks in the widest form that fits; say whether they found room."""
    for form, width in _forms(blocks):
        drawn, _, height = placed_block(form, width)
        reach = bounds(drawn)
        found = space.find(max(width, reach.right if reach else width), height)
        if found is not None:
            x, y = found
            shapes.append(Group(drawn, transform=moved(x, y)))
            space.take(Box(x, y, x + width, y + height).grown(2.0))
            return True
    return False
