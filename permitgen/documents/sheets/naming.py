"""Names finished sheets: number, title and scale, and which subjects are looked for on them."""

from __future__ import annotations

from collections.abc import Sequence

from permitgen.documents.sheets.filling import FilledSheet
from permitgen.documents.sheets.part import SheetPart
from permitgen.documents.sheets.sheet import Drawing
from permitgen.documents.sheets.title_block import SheetName
from permitgen.views.plan_sheets import continued


def named(parts: Sequence[SheetPart], sheets: Sequence[FilledSheet]) -> tuple[Drawing, ...]:
    """Return the finished sheets with their names."""
    homes = _homes(len(parts), sheets)
    found: list[Drawing] = []
    for position, sheet in enumerate(sheets):
        earlier = sum(other.owner == sheet.owner for other in sheets[:position])
        number = continued(parts[sheet.owner].number, earlier + 1)
        begun = [sheet.owner, *(index for index, home in homes.items() if home is sheet and index != sheet.owner)]
        subjects = [*begun, *(index for index in sorted(sheet.holds) if index not in begun)]
        title = "; ".join(parts[index].title for index in subjects)
        held = tuple(parts[index].number for index in sorted({*sheet.holds, *subjects}))
        of = tuple(parts[index].number for index, home in homes.items() if home is sheet)
        places = {parts[index].number: middle for index, middle in sheet.holds.items()}
        found.append(Drawing(SheetName(number, title, sheet.scale), tuple(sheet.shapes), held, of, places))
    return tuple(found)


def _homes(count: int, sheets: Sequence[FilledSheet]) -> dict[int, FilledSheet]:
    """Return the sheet on which each subject is looked for: its own, else the first that holds a part of it."""
    homes: dict[int, FilledSheet] = {}
    for index in range(count):
        own = [sheet for sheet in sheets if sheet.owner == index]
        holding = [sheet for sheet in sheets if index in sheet.holds]
        if own or holding:
            homes[index] = (own or holding)[0]
    return homes
