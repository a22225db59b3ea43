"""Jurisdiction files and tables of design temperatures: what holds for every house of a place, said once.

What the project says stands over its jurisdiction file, key by key; a list that it states takes the place of the file's whole list.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path, PurePosixPath

from permitgen.project.copied_file import mapping
from permitgen.project.laid_over import LaidOver
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.reader import ReadFile
from permitgen.reading.referenced_file import ReferencedFileError, content_inside
from permitgen.reading.shared_files import Form, read_shared, shared_contents, shown_beside
from permitgen.reading.table_file import LARGEST_BYTES, Cell, Table, read_table

PLACE = Form("jurisdiction", ("jurisdiction", "settings", "forms", "climate"))
_FILE = ("jurisdiction", "file")
_CLIMATE = ("site", "climate")
_STATION = "station"
_COLUMNS = {"extreme minimum": "record_low", "2 % high": "design_high"}
_NOT_SHARED = ("file", "granted", "confirmed")


def with_place(file: ReadFile, folder: Path) -> tuple[ReadFile, dict[str, bytes]]:
    """Return the file with what its jurisdiction file and its table of temperatures say, and the bytes of both by name.

    Raises:
        ProblemsError: one of them cannot be read, or does not say what is looked for.
    """
    file, inputs = _with_jurisdiction(file, folder)
    file, table = _with_climate(file, folder)
    return file, inputs | table


def _with_jurisdiction(file: ReadFile, folder: Path) -> tuple[ReadFile, dict[str, bytes]]:
    name = mapping(file.data.get("jurisdiction")).get("file")
    if not isinstance(name, str):
        return file, {}
    try:
        contents = shared_contents(folder, name)
    except ReferencedFileError as error:
        raise ProblemsError([file.problem(_FILE, str(error))]) from error
    if list(contents) != [name]:
        raise ProblemsError([file.problem(_FILE, f"{quoted(name)} is a folder; name one file in it")])
    read = read_shared(contents[name], shown_beside(file.file, name), PLACE)
    if problems := _misplaced(read):
        raise ProblemsError(problems)
    laid = LaidOver(file)
    for section in read.data:
        if section != "format":
            laid.lay(read, (section,), _CLIMATE if section == "climate" else (section,))
    return laid.file(), contents


def _misplaced(read: ReadFile) -> list[Problem]:
    """Return what stands in a jurisdiction file and is about one house alone."""
    wrong = [
        read.problem(("jurisdiction", key), f'"{key}" is about one project and stands in its own file', at_key=True)
        for key in mapping(read.data.get("jurisdiction"))
        if key in _NOT_SHARED
    ]
    wrong += [
        read.problem((section,), "expected a mapping of keys to values")
        for section in ("jurisdiction", "settings", "climate")
        if section in read.data and not isinstance(read.data[section], dict)
    ]
    wrong += [
        read.problem(("climate", key), f'unknown key "{key}"; a jurisdiction file names table and station alone', at_key=True)
        for key in mapping(read.data.get("climate"))
        if key not in ("table", _STATION)
    ]
    return wrong


def beside(file: ReadFile, folder: Path, location: tuple[str | int, ...]) -> tuple[Path, PurePosixPath]:
    """Return the folder from which a file is looked for that is named at a location, and what leads there from the project folder."""
    if file.file_of(location) == file.file:
        return folder, PurePosixPath()
    up = PurePosixPath(str(mapping(file.data.get("jurisdiction")).get("file", ""))).parent
    # The folder of a project that is about to be written is not there yet, and what leads out of it is found without it.
    return (folder.resolve() / up).resolve(), up


def _with_climate(file: ReadFile, folder: Path) -> tuple[ReadFile, dict[str, bytes]]:
    told = mapping(mapping(file.data.get("site")).get("climate"))
    name, station = told.get("table"), told.get(_STATION)
    if not isinstance(name, str) or not isinstance(station, str):
        if name is None and station is None:
            return file, {}
        at, other = ("table", _STATION) if station is None else (_STATION, "table")
        raise ProblemsError([file.problem((*_CLIMATE, at), f"{at} and {other} are named together; {other} is missing")])
    base, up = beside(file, folder, (*_CLIMATE, "table"))
    shown = (up / name).as_posix()
    try:
        content = content_inside(base, name, LARGEST_BYTES)
    except ReferencedFileError as error:
        raise ProblemsError([file.problem((*_CLIMATE, "table"), str(error))]) from error
    table = read_table(content, shown_beside(file.file, shown))
    laid = LaidOver(file)
    for key, (text, cell) in _temperatures(table, file, station).items():
        laid.put((*_CLIMATE, key), text, table.file, (cell.row, cell.column))
    return laid.file(), {shown: content}


def _temperatures(table: Table, file: ReadFile, station: str) -> Mapping[str, tuple[str, Cell]]:
    """Return record low, design high and their source with the cells that say them."""
    columns = {_bare(cell.text)[0]: cell for cell in table.header}
    missing = [name for name in (_STATION, *_COLUMNS) if name not in columns]
    if missing:
        wanted = f"expected the columns {', '.join((_STATION, *_COLUMNS))}, each with its unit behind it, as 2 % high (°C)"
        raise ProblemsError([table.problem(table.header[0], name, f"there is no column {quoted(name)}; {wanted}") for name in missing])
    rows = [{cell.column: cell for cell in row} for row in table.rows]
    named = [row[columns[_STATION].column] for row in rows if columns[_STATION].column in row]
    found = [cell for cell in named if cell.text.casefold() == station.strip().casefold()]
    if not found:
        near = did_you_mean(station, [cell.text for cell in named])
        raise ProblemsError([file.problem((*_CLIMATE, _STATION), f"the table has no station {quoted(station)}{near}")])
    if len(found) > 1:
        says = f"the station {quoted(station)} is in row {found[0].row} already; nothing decides between them"
        raise ProblemsError([table.problem(found[1], _STATION, says)])
    row = next(each for each in rows if each.get(columns[_STATION].column) is found[0])
    told: dict[str, tuple[str, Cell]] = {"source": (f"{found[0].text}, {PurePosixPath(table.file).name}", found[0])}
    for name, key in _COLUMNS.items():
        cell = row.get(columns[name].column)
        if cell is not None and cell.text:
            told[key] = (_with_unit(table, cell, name, columns[name]), cell)
    return told


def _bare(header: str) -> tuple[str, str]:
    """Return the name of a column in small letters, and the unit in brackets behind it."""
    name, _, unit = header.partition("(")
    return " ".join(name.split()).casefold(), unit.rstrip(") ").strip()


def _with_unit(table: Table, cell: Cell, name: str, header: Cell) -> str:
    if not cell.text[-1:].isdigit():
        return cell.text
    unit = _bare(header.text)[1]
    if not unit:
        says = f"{quoted(cell.text)} has no unit; write it behind the number, or in brackets behind {quoted(name)} in {header.name}"
        raise ProblemsError([table.problem(cell, name, says)])
    return f"{cell.text} {unit}"
