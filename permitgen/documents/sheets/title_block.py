"""The title block: preparer, seal, approval stamp, project, codes, revisions, management, status, title, sheet number.

In a strip at the right of a sheet, in columns along the bottom of a small one. Where there is much to say, older revisions are left
to the cover and long texts are cut; the seal, the stamp, the status of the rules and the sheet number never give way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.shapes import Line, Shape
from permitgen.documents.canvas.styles import THIN
from permitgen.documents.sheets.frame import Frame
from permitgen.documents.sheets.title_cells import (
    ALLOWANCES,
    PAD_MM,
    SEAL_MM,
    Allowance,
    Cell,
    SheetName,
    codes_cell,
    management_cell,
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

LEAST_STAMP_MM = 40.0

__all__ = ["LEAST_STAMP_MM", "SheetName", "title_block_shapes"]


def title_block_shapes(block: TitleBlock, name: SheetName, frame: Frame) -> tuple[Shape, ...]:
    """Return the title block of one sheet."""
    if frame.block_at == "right":
        return tuple(_column(_strip(block, name, frame.block), frame.block))
    return tuple(_bottom(block, name, frame.block))


def _strip(block: TitleBlock, name: SheetName, box: Box) -> list[Cell]:
    """Return the cells of a strip, saying as much as leaves room for the stamp."""

    def cells(allowed: Allowance) -> list[Cell]:
        above = [preparer_cell(block, allowed), seal_cell(), stamp_cell(), project_cell(block, allowed), codes_cell(block, allowed)]
        below = [revisions_cell(block, allowed), management_cell(block, name, allowed), status_cell(block, allowed)]
        return [*above, *below, title_cell(name, allowed), number_cell(name)]

    return _as_much_as_fits(cells, box.width, box.height - LEAST_STAMP_MM)


def _as_much_as_fits(cells: Callable[[Allowance], list[Cell]], width: float, height: float) -> list[Cell]:
    for allowed in ALLOWANCES[:-1]:
        made = cells(allowed)
        if sum(cell.height(width) for cell in made if cell.height is not None) <= height:
            return made
    return cells(ALLOWANCES[-1])


def _bottom(block: TitleBlock, name: SheetName, box: Box) -> list[Shape]:
    """The same cells in columns along the bottom of a small sheet."""
    columns: tuple[tuple[float, Callable[[Allowance], list[Cell]]], ...] = (
        (50.0, lambda allowed: [preparer_cell(block, allowed), codes_cell(block, allowed), status_cell(block, allowed)]),
        (54.0, lambda allowed: [project_cell(block, allowed), revisions_cell(block, allowed)]),
        (SEAL_MM + 2 * PAD_MM, lambda _allowed: [seal_cell()]),
        (36.0, lambda _allowed: [stamp_cell()]),
        (0.0, lambda allowed: [management_cell(block, name, allowed), title_cell(name, allowed), number_cell(name)]),
    )
    free = box.width - sum(width for width, _ in columns)
    shapes: list[Shape] = []
    x = box.left
    for width, cells in columns:
        right = x + (width or free)
        shapes += _column(_as_much_as_fits(cells, right - x, box.height), Box(x, box.top, right, box.bottom))
        x = right
        if x < box.right - 0.1:
            shapes.append(Line(x, box.top, x, box.bottom, THIN))
    return shapes


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
