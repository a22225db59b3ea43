"""What arrangements of subjects on sheets cost, so that the better of two is known."""

from __future__ import annotations

import itertools
import math

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.sheets.filling import FilledSheet

Sheets = tuple[FilledSheet, ...]


def fewest(sheets: Sheets, room: Box) -> int:
    """Return on how few sheets the same could stand if no room were lost."""
    return math.ceil(sum(1.0 - sheet.space.free_area / (room.width * room.height) for sheet in sheets))


def cost(sheets: Sheets) -> tuple[int, ...]:
    """Sheets; then tables away from their drawing; then drawings smaller than they could be; then order, then continuations."""
    reduced = sum(sheet.reduced for sheet in sheets)
    return len(sheets), _strays(sheets), reduced, _out_of_order(sheets), sum(len(sheet.holds) for sheet in sheets)


def _strays(sheets: Sheets) -> int:
    """Return on how many sheets stand tables of subjects that are drawn on others."""
    drawn = {index for sheet in sheets for index in sheet.drawn}
    return sum(len(drawn & sheet.holds.keys() - sheet.drawn) for sheet in sheets)


def _out_of_order(sheets: Sheets) -> int:
    first = {index: position for position, sheet in reversed(list(enumerate(sheets))) for index in sheet.holds}
    return sum(first[a] > first[b] for a, b in itertools.combinations(sorted(first), 2))


def room_in_one_piece(sheets: Sheets) -> tuple[float, ...]:
    """Sheets; then room that is left: where tables may go on, what one sheet has left is worth more than what many have."""
    return len(sheets), -sum(sheet.space.free_area**2 for sheet in sheets)
