"""Reads the data file of a table and refuses what a careless edit could leave in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, cast

from permitgen.code.errors import DataError
from permitgen.code.grade import Grade
from permitgen.code.table import TEXT_COLUMNS, Band, Cell, RowKey, Table
from permitgen.values.units import UNITS, UnknownUnitSuffixError, printed_unit, unit_of_name


@dataclass(frozen=True, slots=True)
class TableReport:
    """What is reported of a table in an edition that was not read: its number there; its cells are those of the edition before."""

    number: str
    grade: Grade
    source: str


def read_report(name: str, report: Mapping[object, object]) -> TableReport:
    """Return what is reported of the table ``name``.

    Raises:
        DataError: number, grade or source is missing.

    """
    words = {str(key): str(value) for key, value in report.items()}
    if words.get("grade") != Grade.REPORTED or not words.get("source") or not words.get("number"):
        raise DataError(f"tables/{name}.yaml: number: of an edition not read, number, grade ({Grade.REPORTED}) and source are stated")
    return TableReport(words["number"], Grade.REPORTED, words["source"])


def read_table(name: str, data: Mapping[str, object], edition: str, number: str, book: str) -> Table:
    """Return the table kept in ``data`` as it stands in ``edition``, where the book numbers it ``number``.

    Raises:
        DataError: the file is malformed; the message names file, row and column.

    """
    columns = _columns(name, data)
    key = data.get("key")
    keys = tuple(str(part) for part in key) if isinstance(key, list) else (str(key),)
    cells = _cells(name, data.get("rows"), columns, keys)
    for row, cell in _changed(data, edition, keys).items():
        cells[row] = {**cells.get(row, dict.fromkeys(columns)), **{column: _read_cell(value) for column, value in cell.items()}}
    return Table(
        name,
        number,
        book,
        holds=str(data.get("holds", "")),
        quantity=str(data.get("quantity", "")),
        key=keys,
        columns=columns,
        cells=cells,
        bands=_bands(name, data.get("bands"), columns, keys[-1]),
        source=str(data.get("source", "")),
        confidence=str(data.get("confidence", "")),
        doubt=str(data.get("doubt", "")),
        proved_by=str(data.get("proved_by", "")),
    )


def _columns(name: str, data: Mapping[str, object]) -> dict[str, str]:
    columns = data.get("columns")
    if not isinstance(columns, Mapping):
        raise DataError(f"{name}: columns: expected name and unit of each column")
    for column, unit in columns.items():
        if unit not in UNITS and unit not in TEXT_COLUMNS:
            raise DataError(f"{name}: columns: {column}: {unit!r} is not a unit")
    return {str(column): str(unit) for column, unit in columns.items()}


def _changed(data: Mapping[str, object], edition: str, key: tuple[str, ...]) -> dict[RowKey, Mapping[str, object]]:
    changed = data.get("changed")
    rows = {str(year): cells for year, cells in changed.items()}.get(edition, {}) if isinstance(changed, Mapping) else {}
    if len(key) == 1:
        return dict(rows)
    return {(first, second): cell for first, inner in rows.items() for second, cell in inner.items()}


def _cells(name: str, rows: object, columns: Mapping[str, str], key: tuple[str, ...]) -> dict[RowKey, dict[str, Cell]]:
    cells: dict[RowKey, dict[str, Cell]] = {}
    if not isinstance(rows, Mapping):
        return cells
    for first, row in rows.items():
        _require_text(name, first)
        inner: Iterable[tuple[str | None, object]] = row.items() if isinstance(row, Mapping) else [(None, row)]
        if isinstance(row, Mapping) != (len(key) > 1):
            raise DataError(f"{name}: rows: {first}: the key of the table is {', '.join(key)}")
        for second, line in inner:
            if second is not None:
                _require_text(name, second)
            cells[first if second is None else (first, second)] = _line(f"{name}: rows: {first} {second or ''}".rstrip(), line, columns)
    return cells


def _bands(name: str, bands: object, columns: Mapping[str, str], key: str) -> dict[str, tuple[Band, ...]]:
    if not bands:
        return {}
    try:
        unit = printed_unit(unit_of_name(key))
    except UnknownUnitSuffixError as error:
        raise DataError(f"{name}: key: {error}") from error
    groups: Mapping[object, Iterable[Mapping[str, object]]] = bands if isinstance(bands, Mapping) else {"": cast("Any", bands)}
    return {str(group): tuple(_read_band(f"{name}: bands", band, columns, unit) for band in listed) for group, listed in groups.items()}


def _read_band(where: str, band: Mapping[str, object], columns: Mapping[str, str], unit: str) -> Band:
    lower, upper = band.get("from"), band.get("to")
    bounds = [None if bound is None else float(bound) for bound in (lower, upper)]  # type: ignore[arg-type]
    label = str(band.get("prints", "")) or _band_text(bounds[0], bounds[1], unit)
    return Band(bounds[0], bounds[1], label, _line(f"{where}: {label}", band.get("is"), columns))


def _band_text(lower: float | None, upper: float | None, unit: str) -> str:
    if upper is None:
        text = f"{lower:g} and more"
    elif lower is None:
        text = f"to {upper:g}"
    elif lower == upper:
        text = f"{upper:g}"
    else:
        text = f"{lower:g} to {upper:g}"
    return f"{text} {unit}".strip()


def _line(where: str, line: object, columns: Mapping[str, str]) -> dict[str, Cell]:
    if not isinstance(line, list) or len(line) != len(columns):
        raise DataError(f"{where}: expected {len(columns)} cells ({', '.join(columns)}), got {line!r}")
    for (column, unit), cell in zip(columns.items(), line, strict=True):
        is_words = unit in TEXT_COLUMNS
        if cell is not None and isinstance(cell, str) != is_words:
            raise DataError(f"{where}: {column}: {cell!r} is not {'text; quote it' if is_words else 'a number'}")
    return {column: _read_cell(cell) for column, cell in zip(columns, line, strict=True)}


def _read_cell(cell: object) -> Cell:
    return cell if isinstance(cell, str) or cell is None else float(cell)  # type: ignore[arg-type]


def _require_text(name: str, key: object) -> None:
    if not isinstance(key, str):
        raise DataError(f"{name}: rows: {key!r} is not text; quote it")
