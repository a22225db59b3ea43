"""Puts schedules and notes beside a drawing, in the free room of the sheet; what finds none goes on a sheet of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box, bounds
from permitgen.documents.canvas.shapes import Group, Shape, moved
from permitgen.documents.canvas.table import Table
from permitgen.documents.sheets.flowing import Block, flow_over_sheets, natural_width, placed_block
from permitgen.documents.sheets.free_space import FreeSpace
from permitgen.documents.sheets.sheet import Drawing
from permitgen.documents.sheets.title_block import SheetName
from permitgen.views.plan_sheets import SHEETS, continued

_WIDTHS_MM = (120.0, 100.0, 84.0, 70.0, 58.0, 50.0)


@dataclass(slots=True)
class DrawnSheet:
    """Shapes of one sheet and the boxes they take; ``scale`` is what the title block prints."""

    shapes: list[Shape]
    taken: list[Box]
    scale: str


def drawings_of(number: str, sheets: Sequence[DrawnSheet], beside: Sequence[Sequence[Block]], room: Box) -> tuple[Drawing, ...]:
    """Return finished sheets: each group of blocks is placed on the first sheet with room for it, the rest flows over more sheets."""
    waiting = [list(blocks) for blocks in beside if blocks]
    finished: list[tuple[list[Shape], str]] = []
    for sheet in sheets:
        shapes = list(sheet.shapes)
        space = FreeSpace(room, sheet.taken)
        waiting = [blocks for blocks in waiting if not _put(blocks, space, shapes)]
        finished.append((shapes, sheet.scale))
    left = [block for blocks in waiting for block in blocks]
    finished += [(list(shapes), "NO SCALE") for shapes in (flow_over_sheets(left, room, columns=_columns(left, room)) if left else ())]
    return tuple(
        Drawing(SheetName(continued(number, index), SHEETS[number], scale), tuple(shapes))
        for index, (shapes, scale) in enumerate(finished, start=1)
    )


def _columns(blocks: Sequence[Block], room: Box) -> int:
    """Two columns where every table keeps its natural width in one, so that no tag is broken."""
    widest = max((natural_width(block) for block in blocks if isinstance(block, Table)), default=0.0)
    return 2 if widest <= (room.width - 8.0) / 2 else 1


def _put(blocks: Sequence[Block], space: FreeSpace, shapes: list[Shape]) -> bool:
    """Place blocks in the widest form that fits; say whether they found room."""
    tables = [natural_width(block) for block in blocks if isinstance(block, Table)]
    for width in (max(tables),) if tables else _WIDTHS_MM:
        drawn, _, height = placed_block(blocks, width)
        reach = bounds(drawn)
        found = space.find(max(width, reach.right if reach else width), height)
        if found is not None:
            x, y = found
            shapes.append(Group(drawn, transform=moved(x, y)))
            space.take(Box(x, y, x + width, y + height).grown(2.0))
            return True
    return False
