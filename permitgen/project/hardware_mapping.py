"""Reads which column of a spreadsheet holds which key of hardware."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from permitgen.project.copied_file import mapping
from permitgen.project.messages import keys_of, kinds
from permitgen.project.quantities import QuantityError, parse_count
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.reader import ReadFile
from permitgen.reading.shared_files import Form, read_shared
from permitgen.reading.table_file import Table
from permitgen.reading.yaml_tree import tree_at

MAPPING = Form("hardware mapping", ("kind", "name", "sheet", "header_row", "columns", "same"))
_OF_A_COLUMN = ("column", "unit", "as")


@dataclass(frozen=True, slots=True)
class Column:
    """The column that fills a key: ``unit`` follows a bare number, ``read_as`` are values by what stands in the cell."""

    name: str
    unit: str = ""
    read_as: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class HardwareMapping:
    """How a table is read: the kind, the column of the names, the column of each key, and what all rows have in common."""

    kind: str
    name: Column
    columns: Mapping[str, Column]
    same: Mapping[str, str] = field(default_factory=dict)
    sheet: str = ""
    header_row: int = 1


def read_mapping(content: bytes, file: str) -> HardwareMapping:
    """Read a mapping; ``file`` names it in messages.

    Raises:
        ProblemsError: everything that is wrong with it, each at its place.
    """
    read = read_shared(content, file, MAPPING)
    problems: list[Problem] = []
    kind = _text(read, ("kind",), problems, f"name the kind of hardware: {', '.join(kinds())}")
    if kind and kind not in kinds():
        problems.append(read.problem(("kind",), f"{quoted(kind)} is not a kind of hardware{did_you_mean(kind, kinds())}"))
    columns = {key: _column(read, ("columns", key), problems) for key in mapping(read.data.get("columns"))}
    name = _column(read, ("name",), problems)
    same = {key: _text(read, ("same", key), problems, "expected a single value") for key in mapping(read.data.get("same"))}
    for section in ("columns", "same"):
        for key in mapping(read.data.get(section)):
            problems += _unknown_key(read, (section, key), kind)
    if not columns:
        problems.append(read.problem(("columns",), "name the column of at least one key, for example busbar: Bus rating"))
    header = _header_row(read, problems)
    sheet = _text(read, ("sheet",), problems, "expected the name of a sheet") if "sheet" in read.data else ""
    if problems:
        raise ProblemsError(problems)
    return HardwareMapping(kind, name, columns, same, sheet, header)


def mapping_of_keys(table: Table, kind: str) -> HardwareMapping:
    """Return the mapping of a table whose columns are called by the keys, as those of an empty sheet are."""
    return HardwareMapping(
        kind, Column("entry"), {cell.text: Column(cell.text) for cell in table.header if cell.text not in ("entry", "kind")}
    )


def _text(read: ReadFile, location: tuple[str, ...], problems: list[Problem], expected: str) -> str:
    found = tree_at(read.data, location)
    if isinstance(found, str) and found.strip():
        return found.strip()
    problems.append(read.problem(location, expected))
    return ""


def _column(read: ReadFile, location: tuple[str, ...], problems: list[Problem]) -> Column:
    found = tree_at(read.data, location)
    if isinstance(found, str) and found.strip():
        return Column(found.strip())
    if not isinstance(found, dict):
        problems.append(read.problem(location, f"{location[-1]}: expected the name of a column, as its header has it"))
        return Column("")
    for key in found:
        if key not in _OF_A_COLUMN:
            says = f'unknown key "{key}"{did_you_mean(key, _OF_A_COLUMN)}; expected column, unit and as'
            problems.append(read.problem((*location, key), says, at_key=True))
    name = _text(read, (*location, "column"), problems, "expected the name of a column, as its header has it")
    unit = found.get("unit", "")
    words = {str(cell).casefold(): str(value) for cell, value in mapping(found.get("as")).items()}
    return Column(name, unit if isinstance(unit, str) else "", words)


def _unknown_key(read: ReadFile, location: tuple[str, str], kind: str) -> list[Problem]:
    known = keys_of(("catalog", "entry", kind))
    first = location[1].partition(".")[0]
    if not known or first in known:
        return []
    return [read.problem(location, f'a {kind} has no key "{first}"{did_you_mean(first, known)}', at_key=True)]


def _header_row(read: ReadFile, problems: list[Problem]) -> int:
    given = read.data.get("header_row", "1")
    try:
        return parse_count(given) if isinstance(given, str) else 0
    except QuantityError as error:
        problems.append(read.problem(("header_row",), str(error)))
        return 1
