"""The title block: preparer, seal, approval stamp, project, codes, revisions, management, status, title, sheet number.

In a strip at the right of a sheet. Where there is much to say, codes and older revisions are left to the cover and long texts are cut;
the seal, the stamp, the status of the rules and the sheet number never give way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.shapes import Line, Shape
from permitgen.documents.canvas.styles import THIN
from permitgen.documents.sheets.frame import Frame
from permitgen.documents.sheets.title_cells import (
    ALLOWANCES,
    Allowance,
    Cell,
    SheetName,
    codes_cell,
    management_cell,
    newest_cell,
    number_cell,
    preparer_cell,
    project_cell,
    revisions_cell,
    seal_cell,
    stamp_cell,
    status_cell,
    title_cell,
)
from permitgen.views.plan_sheets import TitleBlock

LEAST_STAMP_MM, SMALL_STAMP_MM = 40.0, 35.0
_SMALL_BLOCK_MM = 200.0
"""A block no taller than this has less room for the stamp."""

__all__ = ["LEAST_STAMP_MM", "SMALL_STAMP_MM", "SheetName", "title_block_shapes"]


def title_block_shapes(block: TitleBlock, name: SheetName, frame: Frame) -> tuple[Shape, ...]:
    """Return the title block of one sheet."""
    return tuple(_column(_strip(block, name, frame.block), frame.block))


def _strip(block: TitleBlock, name: SheetName, box: Box) -> list[Cell]:
    """Return the cells of a strip, saying as much as leaves room for the stamp."""

    def cells(allowed: Allowance) -> list[Cell]:
        above = [preparer_cell(block, allowed), seal_cell(), stamp_cell(), project_cell(block, allowed)]
        changes = [codes_cell(block, allowed), revisions_cell(block, allowed)] if allowed.revisions else [newest_cell(block)]
        below = [management_cell(block, name, allowed), status_cell(block, allowed)]
        return [*above, *changes, *below, title_cell(name, allowed), number_cell(name)]

    stamp = LEAST_STAMP_MM if box.height > _SMALL_BLOCK_MM else SMALL_STAMP_MM
    return _as_much_as_fits(cells, box.width, box.height - stamp)


def _as_much_as_fits(cells: Callable[[Allowance], list[Cell]], width: float, height: float) -> list[Cell]:
    for allowed in ALLOWANCES[:-1]:
        made = cells(allowed)
        if sum(cell.height(width) for cell in made if cell.height is not None) <= height:
            return made
    return cells(ALLOWANCES[-1])


def _column(cells: Sequence[Cell], box: Box) -> list[Shape]:
    """Draw cells one below the other; a cell without a height, else the last but one, takes what is left."""
    heights = [cell.height(box.width) if cell.height is not None else 0.0 for cell in cells]
    stretched = next((index for index, cell in enumerate(cells) if cell.height is None), max(0, len(cells) - 2))
    heights[stretched] += max(0.0, box.height - sum(heights))
    shapes: list[Shape] = []
    y = box.top
    for index, (cell, height) in enumerate(zip(cells, heights, strict=True)):
        shapes += cell.draw(Box(box.left, y, box.right, y + height))
        y += height
        if index < len(cells) - 1:
            shapes.append(Line(box.left, y, box.right, y, THIN))
    return shapes
