"""Makes a hardware file of a spreadsheet: each cell is read as the project file reads its key; one that is wrong ends it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import yaml
from pydantic import ValidationError

from permitgen.project.fields import no_answers
from permitgen.project.hardware_files import HARDWARE
from permitgen.project.hardware_mapping import Column, HardwareMapping
from permitgen.project.hardware_models import CATALOG
from permitgen.project.messages import problem_message
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.table_file import Cell, Table

Path = tuple[str, ...]


def hardware_of(table: Table, told: HardwareMapping) -> str:
    """Return the text of a hardware file with one entry for each row.

    Raises:
        ProblemsError: everything that is wrong, one problem a cell.
    """
    columns = _columns(table, told)
    problems: list[Problem] = []
    entries: dict[str, Any] = {}
    at: dict[Path, Cell] = {}
    for row in table.rows:
        cells = {cell.column: cell for cell in row}
        named = cells.get(columns[""][0], Cell("", row[0].row, columns[""][0]))
        name = named.text
        if not name:
            problems.append(table.problem(named, "entry", "this row has no name; expected the name by which projects call the hardware"))
        elif name in entries:
            problems.append(
                table.problem(named, "entry", f"{quoted(name)} is in row {at[name,].row} already; each entry has a name of its own")
            )
        else:
            at[name,] = named
            entries[name] = _entry(table, told, columns, cells, name, at, problems)
    problems += _refused(table, entries, at, {(problem.line, problem.column) for problem in problems})
    if not entries and not problems:
        problems.append(Problem(table.file, 1, 1, "", "no row below the header holds anything"))
    if problems:
        raise ProblemsError(problems)
    written = yaml.safe_dump({"catalog": entries}, sort_keys=False, allow_unicode=True, width=120)
    return f"{HARDWARE.first_line}\n{written}"


def _columns(table: Table, told: HardwareMapping) -> dict[str, tuple[int, Column]]:
    """Return the number of the column of each key; that of the names under an empty key."""
    found: dict[str, tuple[int, Column]] = {}
    missing = []
    for key, column in {"": told.name, **told.columns}.items():
        number = table.column(column.name)
        if number is None:
            near = did_you_mean(column.name, [cell.text for cell in table.header])
            missing.append(Problem(table.file, table.header[0].row, 1, key or "entry", f"there is no column {quoted(column.name)}{near}"))
        else:
            found[key] = (number, column)
    if missing:
        raise ProblemsError(missing)
    return found


def _entry(
    table: Table,
    told: HardwareMapping,
    columns: Mapping[str, tuple[int, Column]],
    cells: Mapping[int, Cell],
    name: str,
    at: dict[Path, Cell],
    problems: list[Problem],
) -> dict[str, Any]:
    entry: dict[str, Any] = {"kind": told.kind}
    for key, value in told.same.items():
        _put(entry, key.split("."), value)
    for key, (number, column) in columns.items():
        cell = cells.get(number)
        if not key or cell is None or not cell.text:
            continue
        for _, message in no_answers(cell.text):
            problems.append(table.problem(cell, key, message))
            break
        else:
            steps = key.split(".")
            _put(entry, steps, _read_as(cell.text, column))
            at[(name, *steps)] = cell
    return entry


def _read_as(text: str, column: Column) -> str:
    said = column.read_as.get(text.casefold(), text)
    return f"{said} {column.unit}" if column.unit and said == text and _is_bare(text) else said


def _is_bare(text: str) -> bool:
    """Whether a text is a number alone; a cell that states its unit keeps it, and is refused where it is another."""
    return text[-1:].isdigit() and not any(character.isalpha() for character in text)


def _put(entry: dict[str, Any], steps: list[str], value: str) -> None:
    for step in steps[:-1]:
        below = entry.get(step)
        if not isinstance(below, dict):
            below = entry[step] = {}
        entry = below
    entry[steps[-1]] = value


def _refused(table: Table, entries: Mapping[str, Any], at: Mapping[Path, Cell], told_of: set[tuple[int, int]]) -> Iterator[Problem]:
    """Yield what the models refuse, the first thing of each cell that nothing was said of yet."""
    try:
        CATALOG.validate_python(dict(entries))
    except ValidationError as error:
        for each in error.errors(include_url=False, include_input=False):
            location = tuple(str(step) for step in each["loc"])
            cell, key = _cell_of((location[0], *location[2:]), at)
            if (cell.row, cell.column) not in told_of:
                told_of.add((cell.row, cell.column))
                yield table.problem(cell, key, problem_message(each, ("catalog",)))


def _cell_of(path: Path, at: Mapping[Path, Cell]) -> tuple[Cell, str]:
    """Return the cell that fills a path, or what lies nearest above it, or the name of the row."""
    for length in range(len(path), 0, -1):
        if path[:length] in at:
            return at[path[:length]], ".".join(path[1:])
    return at[path[:1]], ".".join(path[1:])
