"""The rows of data sheets on which a description of hardware rests: which hardware, which page, and where it is shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A row that matters, by its first ``words``, on a ``page`` of a ``file``; 0 where the page, as it is ``told``, is no number."""

    hardware: str
    file: str
    page: int
    told: str
    words: str


def sheet_rows_of(system: System) -> tuple[SheetRow, ...]:
    """Return every row that the description of used hardware names, in the order of the hardware."""
    return tuple(
        SheetRow(each.name or each.tag, each.sheet_file, _number(each.sheet_page), each.sheet_page, words)
        for each in system.hardware
        for words in each.boxed
    )


def _number(page: str) -> int:
    return int(page) if page.isascii() and page.isdigit() and len(page) < _DIGITS else 0


_DIGITS = 6
