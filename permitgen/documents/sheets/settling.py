"""Spends what room a finished sheet has left: drawings in a larger form, tables wide enough that their lines need not break.

And makes room on one that fills, by other forms of what lies there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from permitgen.documents.sheets.block_forms import GroupForms, Piece
from permitgen.documents.sheets.filling import FilledSheet, PlacedDrawing, PlacedGroup

_Item = PlacedDrawing | PlacedGroup


def settled(sheet: FilledSheet) -> FilledSheet:
    """Return a sheet with the same on it, each thing in the best of its forms with which all others still find room."""
    for index in range(len(sheet.items)):
        for better in _better(sheet.items[index]):
            found = _laid(sheet, [*sheet.items[:index], better, *sheet.items[index + 1 :]])
            if found is not None:
                sheet = found
                break
    return sheet


def squeezed(sheet: FilledSheet, forms: GroupForms, part: int) -> FilledSheet | None:
    """Return a sheet with one more group of a subject, for which one that lies there takes another of its forms; None without room."""
    for index, item in enumerate(sheet.items):
        for other in _other_forms(item):
            found = _laid(sheet, [*sheet.items[:index], other, *sheet.items[index + 1 :]])
            found = found.with_group(forms, part) if found is not None else None
            if found is not None:
                return found
    return None


def _other_forms(item: _Item) -> Iterator[PlacedGroup]:
    if isinstance(item, PlacedGroup):
        yield from (replace(item, piece=piece) for piece in item.forms or () if piece is not item.piece)


def _better(item: _Item) -> Iterator[_Item]:
    """Yield something in its better forms, the best first."""
    if isinstance(item, PlacedDrawing):
        yield from (replace(item, form=form) for form in range(item.form))
        return
    wider = [piece for piece in item.forms or () if piece.column > item.piece.column + 1.0]
    yield from (replace(item, piece=piece) for piece in sorted(wider, key=_unbroken))


def _unbroken(piece: Piece) -> tuple[float, float]:
    return -piece.column, piece.height


def _laid(sheet: FilledSheet, items: Sequence[_Item]) -> FilledSheet | None:
    """Return a sheet with some things on it in their order; None where one finds no room."""
    for spares in dict.fromkeys((sheet.spares, False, True)):
        found: FilledSheet | None = FilledSheet(sheet.room, sheet.owner, spares=spares)
        for item in items:
            found = found.with_item(item) if found is not None else None
        if found is not None:
            return found
    return None
