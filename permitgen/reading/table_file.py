"""Tables that people keep in spreadsheets: CSV or XLSX as rows of texts, each cell with its place; bounded, and nothing computed."""

from __future__ import annotations

import csv
import datetime
import io
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from permitgen.reading.characters import UndecodableError, decode, refused_character
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted

if TYPE_CHECKING:
    from openpyxl.cell import Cell as SheetCell

LARGEST_BYTES = 5_000_000
_LARGEST_UNPACKED = 60_000_000
_MOST_ROWS, _MOST_COLUMNS = 10_000, 300
_SEPARATORS = (",", ";", "\t")
_SHOWN_ERRORS = ("#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A")
_COMMENT = "#"


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text, and row and column from 1."""

    text: str
    row: int
    column: int

    @property
    def name(self) -> str:
        """The cell as spreadsheets call it: ``D7``."""
        letters, rest = "", self.column
        while rest:
            rest, letter = divmod(rest - 1, 26)
            letters = chr(ord("A") + letter) + letters
        return f"{letters}{self.row}"


@dataclass(frozen=True, slots=True)
class Table:
    """The header and the rows below it that hold something; rows that begin with ``#`` are remarks and left out."""

    file: str
    header: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def problem(self, cell: Cell, what: str, message: str) -> Problem:
        """Return what is wrong with a cell; ``what`` names the key that it fills."""
        return Problem(self.file, cell.row, cell.column, f"{cell.name} {what}".strip(), message)

    def column(self, name: str) -> int | None:
        """Return the number of the column with this name in the header, None where there is none."""
        wanted = _plain(name)
        return next((cell.column for cell in self.header if _plain(cell.text) == wanted), None)


def read_table(content: bytes, file: str, *, sheet: str = "", header_row: int = 1) -> Table:
    """Read a table; ``file`` names it in messages and tells its kind by its ending.

    Raises:
        ProblemsError: it is no table that can be read, too large, or a cell holds what no cell may; one problem a cell.
    """
    rows = list(_of_workbook(content, file, sheet) if file.lower().endswith(".xlsx") else _of_text(content, file))
    header = next((row for row in rows if row[0].row == header_row), ())
    if not any(cell.text for cell in header):
        raise ProblemsError(
            [Problem(file, header_row, 1, "", f"row {header_row} names no columns; expected the names of the columns there")]
        )
    below = tuple(row for row in rows if row[0].row > header_row and any(cell.text for cell in row) and not _is_remark(row))
    table = Table(file, tuple(cell for cell in header if cell.text), below)
    if problems := [*_twice(table), *_refused(table)]:
        raise ProblemsError(problems)
    return table


def _is_remark(row: tuple[Cell, ...]) -> bool:
    first = next(cell.text for cell in row if cell.text)
    return first.startswith(_COMMENT) and first not in _SHOWN_ERRORS


def _twice(table: Table) -> Iterator[Problem]:
    seen: dict[str, Cell] = {}
    for cell in table.header:
        first = seen.setdefault(_plain(cell.text), cell)
        if first is not cell:
            yield table.problem(cell, "", f"the column {quoted(cell.text)} is there twice, first in {first.name}")


def _refused(table: Table) -> Iterator[Problem]:
    for row in (table.header, *table.rows):
        for cell in row:
            if cell.text in _SHOWN_ERRORS:
                yield table.problem(cell, "", f"the spreadsheet shows the error {cell.text}; expected a value or an empty cell")
            elif (refusal := refused_character(cell.text)) is not None:
                yield table.problem(cell, "", refusal)


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()


def _of_text(content: bytes, file: str) -> Iterator[tuple[Cell, ...]]:
    try:
        text = decode(content)
    except UndecodableError as error:
        raise ProblemsError([Problem(file, *error.place, "", f"{error}; save it as CSV in UTF-8")]) from error
    lines = text.splitlines()
    separator = max(_SEPARATORS, key=lines[0].count) if lines else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    while True:
        row = reader.line_num + 1  # a quoted cell may hold line ends: a row has the number of its first line
        try:
            values = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise ProblemsError(
                [Problem(file, row, 1, "", f"this is no CSV ({error}); quote a text that holds quotes or {separator}")]
            ) from error
        if values:
            yield _bounded(file, row, [value.strip() for value in values])


def _bounded(file: str, row: int, values: list[str]) -> tuple[Cell, ...]:
    if row > _MOST_ROWS or len(values) > _MOST_COLUMNS:
        what = f"more than {_MOST_ROWS} rows" if row > _MOST_ROWS else f"more than {_MOST_COLUMNS} columns"
        raise ProblemsError([Problem(file, row, 1, "", f"the table has {what}, the most that are read")])
    return tuple(Cell(" ".join(value.split()), row, column) for column, value in enumerate(values, start=1))


def _of_workbook(content: bytes, file: str, sheet: str) -> Iterator[tuple[Cell, ...]]:
    _refuse_hostile(content, file)
    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        book = load_workbook(io.BytesIO(content), data_only=True, keep_links=False)
    except (InvalidFileException, zipfile.BadZipFile, KeyError, ValueError, TypeError, SyntaxError) as error:
        raise ProblemsError([Problem(file, 1, 1, "", _NO_WORKBOOK)]) from error
    if sheet and sheet not in book.sheetnames:
        says = f"there is no sheet {quoted(sheet)} in it{did_you_mean(sheet, book.sheetnames)}"
        raise ProblemsError([Problem(file, 1, 1, "", says)])
    page = book[sheet] if sheet else book.worksheets[0]
    for number, row in enumerate(page.iter_rows(), start=1):
        if any(cell.value is not None for cell in row):
            yield _bounded(file, number, [_cell_text(cell) for cell in row])


_NO_WORKBOOK = "this is no workbook that can be read; save it as .xlsx or as CSV in UTF-8"


def _refuse_hostile(content: bytes, file: str) -> None:
    """Refuse what unpacks to far more than it is, and parts that define entities."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            size = sum(part.file_size for part in archive.infolist())
            if size > _LARGEST_UNPACKED:
                raise ProblemsError([Problem(file, 1, 1, "", "the workbook unpacks to more than is read; keep one table alone in it")])
            hostile = any(b"<!DOCTYPE" in archive.read(part) for part in archive.infolist() if part.filename.endswith((".xml", ".rels")))
    except (zipfile.BadZipFile, RuntimeError, OSError) as error:  # encrypted, packed in another way, cut off
        raise ProblemsError([Problem(file, 1, 1, "", _NO_WORKBOOK)]) from error
    if hostile:
        raise ProblemsError([Problem(file, 1, 1, "", "the workbook defines entities, which no table needs; save it anew")])


def _cell_text(cell: SheetCell) -> str:
    """Return what a person sees in a cell, as far as it is a value: a share shown in percent is a percentage."""
    value: Any = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        is_percent = "%" in (cell.number_format or "")
        return f"{value * 100:.10g} %" if is_percent else f"{value:.12g}"
    if isinstance(value, datetime.datetime | datetime.date):
        return value.isoformat()[:10]
    return str(value).strip()
