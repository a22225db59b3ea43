"""A table of the code: cells by row and column, or bands of a number. Every look-up remembers its cell."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType

from permitgen.code.errors import NotInTableError
from permitgen.reading.nearest import did_you_mean
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from permitgen.values.origin import TableCell
from permitgen.values.units import printed_unit, unit_of_name
from permitgen.values.value import Choice, Value

TEXT_COLUMNS = ("text", "conductor_size", "trade_size")
RowKey = str | tuple[str, str]
Row = RowKey | ConductorSize | tuple[str, ConductorSize]
Cell = float | str | None


@dataclass(frozen=True, slots=True)
class Band:
    """One band: ``lower`` and ``upper`` as printed, None where open; ``cells`` one a column."""

    lower: float | None
    upper: float | None
    label: str
    cells: Mapping[str, Cell]


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """One table in one edition.

    ``columns`` maps a column to the unit of its cells, or to ``text``, ``conductor_size`` or ``trade_size`` for words.
    ``cells`` holds tables keyed by name (or by two names); ``bands`` those keyed by a number, by group (``""`` where there is one).
    ``amended`` names the ordinance that changed a cell, by the row as it is printed and the column.
    """

    name: str
    number: str
    book: str
    holds: str
    quantity: str
    key: tuple[str, ...]
    columns: Mapping[str, str]
    cells: Mapping[RowKey, Mapping[str, Cell]]
    bands: Mapping[str, tuple[Band, ...]]
    source: str = ""
    confidence: str = ""
    doubt: str = ""
    proved_by: str = ""
    amended: Mapping[tuple[str, str], str] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def rows(self) -> tuple[RowKey, ...]:
        """The keys of the rows in the order of the book; pairs where the table is keyed by two names."""
        return tuple(self.cells)

    def rows_of(self, group: str) -> tuple[str, ...]:
        """Return the second names of the rows whose first name is ``group``, in the order of the book."""
        return tuple(key[1] for key in self.cells if isinstance(key, tuple) and key[0] == group)

    @property
    def groups(self) -> tuple[str, ...]:
        """The first names of a table keyed by two names, or the groups of its bands."""
        return tuple(self.bands) or tuple(dict.fromkeys(key[0] for key in self.cells if isinstance(key, tuple)))

    def number_at(self, row: Row, column: str) -> float | None:
        """Return the bare number of a cell, None where the table has none: for loops over sizes, which keep no history.

        Raises:
            NotInTableError: no such column.

        """
        self._unit(column)
        cell = self.cells.get(_key(row), {}).get(column)
        return cell if isinstance(cell, float) else None

    def at(self, row: Row, column: str) -> Value:
        """Return the cell as a value whose origin is that cell.

        Raises:
            NotInTableError: no such row or column, or the table leaves the cell blank.

        """
        cell = self._cell(row, column)
        if not isinstance(cell, float):
            raise NotInTableError(f"{self.number}, column {column!r} holds words, not numbers")
        return Value(cell, self._unit(column), self._origin(self.row_label(row), column), title=self._title(column))

    def text_at(self, row: Row, column: str) -> Choice:
        """Return the cell of a column of words (a conductor size, a name) with its origin.

        Raises:
            NotInTableError: no such row or column, or the table leaves the cell blank.

        """
        return self._choice(self._cell(row, column), self.row_label(row), column)

    def band(self, number: float, column: str, group: str = "") -> Value:
        """Return the cell of the band in which ``number`` lies; the bound of a band belongs to it.

        Raises:
            NotInTableError: beyond the bands, no such column or group, or the table leaves the cell blank.

        """
        band = self._band(number, column, group)
        cell = band.cells[column]
        if not isinstance(cell, float):
            raise NotInTableError(f"{self.number}, column {column!r} holds words, not numbers")
        return Value(cell, self._unit(column), self._origin(self.band_label(band, group), column), title=self._title(column))

    def band_text(self, number: float, column: str, group: str = "") -> Choice:
        """Return the words of the band in which ``number`` lies, with their origin.

        Raises:
            NotInTableError: beyond the bands, no such column or group, or the table leaves the cell blank.

        """
        band = self._band(number, column, group)
        return self._choice(band.cells[column], self.band_label(band, group), column)

    def _unit(self, column: str) -> str:
        if column not in self.columns:
            raise NotInTableError(f"{self.number} has no column {column!r}{did_you_mean(column, self.columns)}")
        return self.columns[column]

    def _cell(self, row: Row, column: str) -> Cell:
        self._unit(column)
        key = _key(row)
        if key not in self.cells:
            raise NotInTableError(f"{self.number} ({self.holds}) has no row {self.row_label(row)}")
        cell = self.cells[key][column]
        if cell is None:
            raise NotInTableError(f"{self.number} has no value for {self.row_label(row)}, {printed_column(column)}")
        return cell

    def _band(self, number: float, column: str, group: str) -> Band:
        self._unit(column)
        if group not in self.bands:
            raise NotInTableError(f"{self.number} has no group {group!r}{did_you_mean(group, self.bands)}")
        bands = self.bands[group]
        found = band_of(number, bands)
        unit = printed_unit(unit_of_name(self.key[-1]))
        shown = " ".join(part for part in (group, f"{number:g} {unit}".strip()) if part)
        if found is None:
            raise NotInTableError(f"{self.number} ({self.holds}) does not reach {shown}")
        if found.cells[column] is None:
            raise NotInTableError(f"{self.number} has no value for {shown}, {printed_column(column)}")
        return found

    def _choice(self, cell: Cell, row: str, column: str) -> Choice:
        if not isinstance(cell, str):
            raise NotInTableError(f"{self.number}, column {column!r} holds numbers, not words")
        return Choice(cell, self._origin(row, column), self._title(column))

    def _origin(self, row: str, column: str) -> TableCell:
        ordinance = self.amended.get((row, column), "")
        number = f"{self.number} as amended by {ordinance}" if ordinance else self.number
        return TableCell(self.name, number, row, printed_column(column))

    def _title(self, column: str) -> str:
        return self.quantity or printed_column(column)

    def row_label(self, row: Row) -> str:
        """Return a row as it is printed."""
        key = _key(row)
        names = key if isinstance(key, tuple) else (key,)
        return " ".join(_printed_row(kind, name) for kind, name in zip(self.key, names, strict=False))

    def band_label(self, band: Band, group: str) -> str:
        """Return a band as it is printed, with its group where there are several."""
        return " ".join(part for part in (group, band.label) if part)


def band_of(number: float, bands: Sequence[Band]) -> Band | None:
    """Return the band that holds ``number``, None beyond them.

    Bounds belong to their band and a number between two bands (36.5 where one ends at 36 and the next begins at 37) belongs
    to the next. Bands that run downward (cold temperatures) are read the same way toward the cold.
    """
    downward = any(band.lower is not None and band.upper is not None and band.lower > band.upper for band in bands)
    sign = -1.0 if downward else 1.0
    first = bands[0].lower
    if first is not None and sign * number < sign * first:
        return None
    for band in bands:
        if band.upper is None or sign * number <= sign * band.upper + 1e-9 * abs(band.upper):
            return band
    return None


@cache
def printed_column(name: str) -> str:
    """Return a column's name as it is printed: ``copper_75c`` as ``copper 75 °C``."""
    return re.sub(r"\b(\d+)c\b", r"\1 °C", name.replace("_", " "))


def _printed_row(kind: str, name: str) -> str:
    return str(ConductorSize(name)) if kind == "conductor_size" and name in _SIZES else name


def _key(row: Row) -> RowKey:
    if isinstance(row, tuple):
        return (str(row[0]), row[1].name if isinstance(row[1], ConductorSize) else row[1])
    return row.name if isinstance(row, ConductorSize) else row


_SIZES = frozenset(size.name for size in ALL_SIZES)
