"""Places tables beside each other on shelves, and shelves on sheets; what is taller than a sheet flows over several."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box, bounds
from permitgen.documents.canvas.shapes import Group, Shape, moved
from permitgen.documents.canvas.table import Table
from permitgen.documents.sheets.flowing import Block, flow_over_sheets, natural_width, placed_block

_ACROSS_MM = 8.0
_DOWN_MM = 6.0
_LEAST_WIDTH_MM = 120.0


@dataclass(frozen=True, slots=True)
class _Piece:
    """Shapes with their origin at the top left, how wide and how tall they are."""

    shapes: tuple[Shape, ...]
    width: float
    height: float


def shelved(groups: Sequence[Sequence[Block]], room: Box) -> tuple[tuple[Shape, ...], ...]:
    """Return the shapes of each sheet: groups in order, side by side where they fit, never parted unless taller than a sheet."""
    sheets: list[list[Shape]] = [[]]
    x, y, shelf = room.left, room.top, 0.0
    for group in groups:
        piece = _piece(group, room)
        if piece.height > room.height:
            flowed = [list(shapes) for shapes in flow_over_sheets(group, room)]
            sheets = [*(sheet for sheet in sheets if sheet), *flowed]
            reach = bounds(flowed[-1])
            x, y, shelf = room.left, (reach.bottom if reach is not None else room.top) + _DOWN_MM, 0.0
            continue
        if x > room.left and x + piece.width > room.right + 1e-6:
            x, y, shelf = room.left, y + shelf + _DOWN_MM, 0.0
        if y + piece.height > room.bottom + 1e-6:
            sheets.append([])
            x, y, shelf = room.left, room.top, 0.0
        sheets[-1].append(Group(piece.shapes, transform=moved(x, y)))
        x, shelf = x + piece.width + _ACROSS_MM, max(shelf, piece.height)
    return tuple(tuple(sheet) for sheet in sheets if sheet)


def _piece(group: Sequence[Block], room: Box) -> _Piece:
    tables = [block for block in group if isinstance(block, Table)]
    shared = any(column.share for table in tables for column in table.columns)
    natural = max((natural_width(table) for table in tables), default=_LEAST_WIDTH_MM)
    width = room.width if shared else min(room.width, max(natural, _LEAST_WIDTH_MM if not tables else natural))
    shapes, width, height = placed_block(group, width)
    return _Piece(shapes, width, height)
