"""Tables in which an ordinance changes cells: the cell has another number and names the ordinance, every other cell is the book's."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from permitgen.code.errors import CodeError
from permitgen.code.table import Band, Cell, RowKey, Table
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError

if TYPE_CHECKING:
    from permitgen.code.amendment import Amendment
    from permitgen.code.codebook import CodeBook
    from permitgen.code.local_requirement import AmendedCell

_MOST_NAMED = 12


class _WrongCellError(ValueError):
    """A cell that the table does not have, or not of this kind."""


def amended_tables(amendment: Amendment, book: CodeBook) -> dict[str, Table]:
    """Return the tables of ``book`` of which ``amendment`` changes cells in its edition, as changed.

    Raises:
        ProblemsError: the edition has no such table, row or column, or the cell holds something of another kind.

    """
    changed: dict[str, Table] = {}
    problems: list[Problem] = []
    counted: dict[str, int] = {}
    for cell in amendment.additions.cells:
        if cell.column_of != book.edition.value:
            continue
        index = counted[cell.table] = counted.get(cell.table, -1) + 1
        try:
            table = changed[cell.table] if cell.table in changed else book.table(cell.table)
            changed[cell.table] = _with_cell(table, cell, amendment.ordinance)
        except (CodeError, _WrongCellError) as error:
            problems.append(amendment.file.problem(("tables", cell.table, cell.column_of, index), str(error)))
    if problems:
        raise ProblemsError(problems)
    return changed


def _with_cell(table: Table, cell: AmendedCell, ordinance: str) -> Table:
    if cell.column not in table.columns:
        raise _WrongCellError(f'{table.number} has no column "{cell.column}"{_named(cell.column, list(table.columns))}')
    return _with_band(table, cell, ordinance) if table.bands else _with_row(table, cell, ordinance)


def _with_row(table: Table, cell: AmendedCell, ordinance: str) -> Table:
    key: RowKey = cell.row[0] if len(cell.row) == 1 else (cell.row[0], cell.row[1])
    if len(cell.row) > 2 or key not in table.cells:
        rows = [row if isinstance(row, str) else ", ".join(row) for row in table.rows]
        raise _WrongCellError(f'{table.number} has no row "{", ".join(cell.row)}"{_named(", ".join(cell.row), rows)}')
    row = table.cells[key]
    changed = {**table.cells, key: {**row, cell.column: _of_kind(row[cell.column], cell)}}
    return replace(table, cells=changed, amended=_mark(table, table.row_label(key), cell, ordinance))


def _with_band(table: Table, cell: AmendedCell, ordinance: str) -> Table:
    labels = {table.band_label(band, group): (group, band) for group, bands in table.bands.items() for band in bands}
    printed = " ".join(cell.row)
    if printed not in labels:
        raise _WrongCellError(f'{table.number} has no row "{printed}"{_named(printed, list(labels))}')
    group, band = labels[printed]
    other = Band(band.lower, band.upper, band.label, {**band.cells, cell.column: _of_kind(band.cells[cell.column], cell)})
    bands = tuple(other if each is band else each for each in table.bands[group])
    return replace(table, bands={**table.bands, group: bands}, amended=_mark(table, printed, cell, ordinance))


def _of_kind(now: Cell, cell: AmendedCell) -> Cell:
    if isinstance(now, float) and not isinstance(cell.value, float):
        raise _WrongCellError(f'"{cell.value}" is not a number; the cell is {now:g} now')
    if isinstance(now, str):
        return cell.value if isinstance(cell.value, str) else f"{cell.value:g}"
    if now is None:
        raise _WrongCellError("the table leaves this cell blank, so that nothing is amended")
    return cell.value


def _mark(table: Table, row: str, cell: AmendedCell, ordinance: str) -> MappingProxyType[tuple[str, str], str]:
    return MappingProxyType({**table.amended, (row, cell.column): ordinance})


def _named(typed: str, names: list[str]) -> str:
    shown = ", ".join(names[:_MOST_NAMED])
    return did_you_mean(typed, names) or f"; it has {shown}{', …' if len(names) > _MOST_NAMED else ''}"
