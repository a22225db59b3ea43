"""Places tables on sheets, each where the first sheet has room for it; what is taller than a sheet flows over several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box, bounds
from permitgen.documents.canvas.shapes import Group, Shape, moved
from permitgen.documents.canvas.table import Table
from permitgen.documents.sheets.flowing import Block, flow_over_sheets, narrowed, natural_width, placed_block
from permitgen.documents.sheets.free_space import FreeSpace

_ACROSS_MM = 8.0
_DOWN_MM = 6.0
_LEAST_WIDTH_MM = 120.0
_NARROWER = (0.88, 0.76)


@dataclass(frozen=True, slots=True)
class _Piece:
    """Shapes with their origin at the top left, how wide and how tall they are."""

    shapes: tuple[Shape, ...]
    width: float
    height: float


class _Sheet:
    """A sheet being filled from its top left."""

    def __init__(self, room: Box) -> None:
        # Beyond the right and lower edge no air is needed between pieces.
        self.room = Box(room.left, room.top, room.right + _ACROSS_MM, room.bottom + _DOWN_MM)
        self.shapes: list[Shape] = []
        self.space = FreeSpace(self.room, ())

    def takes(self, piece: _Piece) -> bool:
        """Put a piece where there is room for it; say whether there was."""
        place = self.space.find(piece.width + _ACROSS_MM, piece.height + _DOWN_MM, margin=0.0, from_top=True)
        if place is None:
            return False
        x, y = place
        self.shapes.append(Group(piece.shapes, transform=moved(x, y)))
        self.space.take(Box(x, y, x + piece.width + _ACROSS_MM, y + piece.height + _DOWN_MM))
        return True


def shelved(groups: Sequence[Sequence[Block]], room: Box) -> tuple[tuple[Shape, ...], ...]:
    """Return the shapes of each sheet: every group where the first sheet has room for it, never parted unless taller than a sheet."""
    sheets: list[_Sheet] = []
    for group in groups:
        piece = _piece(group, room)
        if piece.height > room.height:
            sheets += _flowed(group, room)
        elif not any(sheet.takes(form) for form in _forms(group, piece, room) for sheet in sheets):
            sheets.append(_Sheet(room))
            sheets[-1].takes(piece)
    return tuple(tuple(sheet.shapes) for sheet in sheets)


def _forms(group: Sequence[Block], piece: _Piece, room: Box) -> Iterator[_Piece]:
    """Yield a group as it is, then with the lines of its longest column broken."""
    yield piece
    for part in _NARROWER:
        blocks = [narrowed(block, piece.width * part) if isinstance(block, Table) else block for block in group]
        if any(isinstance(block, Table) for block in blocks) and None not in blocks:
            shapes, width, height = placed_block([block for block in blocks if block is not None], piece.width * part)
            if height <= room.height:
                yield _Piece(shapes, width, height)


def _flowed(group: Sequence[Block], room: Box) -> list[_Sheet]:
    """Return the sheets of a group taller than one; below its end, and nowhere before, there may be room for more."""
    found = []
    flowed = flow_over_sheets(group, room)
    for number, shapes in enumerate(flowed, start=1):
        sheet = _Sheet(room)
        sheet.shapes += shapes
        reach = bounds(shapes) if number == len(flowed) else room
        if reach is not None:
            sheet.space.take(Box(sheet.room.left, sheet.room.top, sheet.room.right, reach.bottom + _DOWN_MM))
        found.append(sheet)
    return found


def _piece(group: Sequence[Block], room: Box) -> _Piece:
    tables = [block for block in group if isinstance(block, Table)]
    shared = any(column.share for table in tables for column in table.columns)
    natural = max((natural_width(table) for table in tables), default=_LEAST_WIDTH_MM)
    width = room.width if shared else min(room.width, max(natural, _LEAST_WIDTH_MM if not tables else natural))
    shapes, width, height = placed_block(group, width)
    return _Piece(shapes, width, height)
