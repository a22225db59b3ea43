"""A local amendment: an ordinance that changes fields of provisions, in a file of the same shape as ours."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.code.data_files import provision_index, read_fields
from permitgen.code.edition import Edition, FireCode
from permitgen.code.local_reading import KEYS, LONGEST_TEXT, additions_of
from permitgen.code.local_requirement import LocalAdditions
from permitgen.code.provision import ABSENT, FieldValue, Provision
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.reader import ReadFile, read_content
from permitgen.reading.yaml_tree import Tree
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.trade_size import TRADE_SIZES
from permitgen.values.units import unit_of_name

if TYPE_CHECKING:
    from permitgen.code.codebook import CodeBook

LARGEST_BYTES = 200_000
_NUMBER = re.compile(r"[+-]?[0-9]{1,12}(\.[0-9]{1,12})?")
_YES_OR_NO = {"yes": True, "true": True, "no": False, "false": False}
_ROW_KEYS = {"says", "doubt"}
_ORDINANCE_KEYS: Mapping[str, str | None] = {"name": None, "date": None, "number": "", "copy": ""}
# Numbers by which others are divided: at zero they say nothing.
_DIVIDED_BY = frozenset({"factor", "count", "percent", "f"})
_DISTANCES_BETWEEN = ("between_", "reference_")


@dataclass(frozen=True, slots=True)
class AmendedRow:
    """What the ordinance does to one provision in one edition: new fields as they were typed, a new section, or ``absent``."""

    provision: str
    column: str
    section: str
    fields: Mapping[str, Tree]
    is_repealed: bool


@dataclass(frozen=True, slots=True)
class Amendment:
    """One ordinance: its name and date, the rows it changes, what it adds beside them, and the file it was read from.

    ``number`` and ``copy`` (a file of the project folder) are asked for where it strikes or relaxes a requirement.
    """

    ordinance: str
    date: str
    rows: tuple[AmendedRow, ...]
    file: ReadFile
    number: str = ""
    copy: str = ""
    additions: LocalAdditions = field(default_factory=LocalAdditions)

    @property
    def struck(self) -> tuple[str, ...]:
        """The provisions that it strikes, in any edition."""
        return tuple(dict.fromkeys(row.provision for row in self.rows if row.is_repealed))

    def changes(self, book: CodeBook) -> bool:
        """Whether a row of the ordinance is for the edition or the fire code of ``book``, or something that it adds for any."""
        additions = self.additions
        if additions.are_of_no_edition or any(cell.column_of == book.edition.value for cell in additions.cells):
            return True
        return any(row.column == book.column_of(row.provision).value for row in self.rows)

    def applied_to(self, book: CodeBook) -> dict[str, Provision]:
        """Return the provisions of ``book`` that the ordinance changes, as changed.

        Raises:
            ProblemsError: the edition has no such requirement, or a field does not exist or is of another kind.

        """
        return {row.provision: self._amended(row, book) for row in self.rows if row.column == book.column_of(row.provision).value}

    def _amended(self, row: AmendedRow, book: CodeBook) -> Provision:
        provision = book.provision(row.provision)
        where = (row.provision, row.column)
        if not provision.is_in_force:
            raise ProblemsError([self.file.problem(where, f"cannot be amended; {provision.citation}", at_key=True)])
        if row.is_repealed and ABSENT not in read_fields().get(provision.id, ()):
            raise ProblemsError([self.file.problem(where, "cannot be struck: no verdict would change", at_key=True)])
        if row.is_repealed:
            return Provision(row.provision, provision.book, ABSENT, provision.says, amended_by=self.ordinance)
        problems: list[Problem] = []
        changes: dict[str, FieldValue] = {}
        for name, typed in row.fields.items():
            try:
                changes[name] = _field_value(name, typed, provision)
            except _WrongFieldError as error:
                problems.append(self.file.problem((*where, name), str(error), at_key=error.is_of_key))
        if problems:
            raise ProblemsError(problems)
        return provision.amended(self.ordinance, changes, section=row.section)


class _WrongFieldError(ValueError):
    """A field that cannot be amended so; ``is_of_key``: to any value."""

    def __init__(self, message: str, *, is_of_key: bool = False) -> None:
        super().__init__(message)
        self.is_of_key = is_of_key


def _field_value(name: str, typed: Tree, provision: Provision) -> FieldValue:
    """Return what was typed as the kind of value that the provision has there."""
    if name not in provision.fields:
        known = f"; fields: {', '.join(provision.fields)}" if provision.fields else "; it has none"
        message = f'{provision.id} has no field "{name}"{did_you_mean(name, provision.fields) or known}'
        raise _WrongFieldError(message, is_of_key=True)
    if name not in (read := _fields_read(provision)):
        message = f"no rule reads this field, so that no verdict would change; fields that are read: {', '.join(read) or 'none'}"
        raise _WrongFieldError(message, is_of_key=True)
    now = provision.fields[name]
    if isinstance(now, tuple):
        return _words(typed, now)
    if not isinstance(typed, str) or not _is_short(typed):
        raise _WrongFieldError(f"expected one value of at most {LONGEST_TEXT} characters, as now: {now}")
    if isinstance(now, str):
        return _text(name, typed, now)
    return _yes_or_no(typed) if isinstance(now, bool) else _number(name, typed, now)


def _fields_read(provision: Provision) -> list[str]:
    """Return the fields of a provision whose amendment changes something, in the order of its row."""
    return [name for name in provision.fields if name in read_fields().get(provision.id, ())]


def _words(typed: Tree, now: tuple[str, ...]) -> tuple[str, ...]:
    words = [word for word in typed if isinstance(word, str) and _is_short(word)] if isinstance(typed, list) else []
    if not words or words != typed:
        raise _WrongFieldError(f"expected a list of words, as now: [{', '.join(now)}]")
    return tuple(words)


def _text(name: str, typed: str, now: str) -> str:
    """Return a text; where it is a size now, the name of a size of the same kind."""
    if name.endswith("trade_size"):
        if typed in TRADE_SIZES:
            return typed
        raise _WrongFieldError(f"{quoted(typed)} is not a trade size; write it as now: {now}")
    if name.endswith("_size") and _is_conductor_size(now) and not _is_conductor_size(typed):
        raise _WrongFieldError(f"{quoted(typed)} is not a standard conductor size; write it without its unit, as now: {now}")
    return typed


def _is_conductor_size(text: str) -> bool:
    try:
        ConductorSize(text)
    except ValueError:
        return False
    return True


def _yes_or_no(typed: str) -> bool:
    if typed.lower() not in _YES_OR_NO:
        raise _WrongFieldError(f"{quoted(typed)} is neither yes nor no")
    return _YES_OR_NO[typed.lower()]


def _number(name: str, typed: str, now: float) -> float:
    if _NUMBER.fullmatch(typed) is None:
        raise _WrongFieldError(f"{quoted(typed)} is not a number; the unit is in the name of the field, as now: {now:g}")
    if float(typed) < 0 <= now:
        raise _WrongFieldError(f"{typed} is below zero; now it is {now:g}")
    if float(typed) == 0 < now and (unit_of_name(name) in _DIVIDED_BY or name.startswith(_DISTANCES_BETWEEN)):
        raise _WrongFieldError(f'a number above zero was expected, as now: {now:g}; a requirement that is struck is "{ABSENT}"')
    return float(typed)


def _is_short(text: str) -> bool:
    return 0 < len(text) <= LONGEST_TEXT


def read_amendment(content: bytes, file: str) -> Amendment:
    """Return the amendment written in ``content``; ``file`` is the name that messages print.

    Raises:
        ProblemsError: not YAML as it is read here, no ordinance, nothing amended, an unknown provision, or a malformed row.

    """
    read = read_content(content, file)
    problems: list[Problem] = []
    name, date, number, copy = _ordinance(read, problems)
    additions = additions_of(read, name, problems)
    changed = [provision for provision in read.data if provision not in ("ordinance", *KEYS)]
    rows = [row for provision in changed for row in _rows(read, provision, read.data[provision], problems)]
    if not rows and additions.are_empty and not problems:
        problems.append(read.problem((), f"nothing is amended; a provision with its changed fields was expected, or {', '.join(KEYS)}"))
    if problems:
        raise ProblemsError(problems)
    return Amendment(name, date, tuple(rows), read, number, copy, additions)


def _ordinance(read: ReadFile, problems: list[Problem]) -> tuple[str, ...]:
    """Return name, date, number and copy of the ordinance; the last two are empty where they are not stated."""
    written = read.data.get("ordinance")
    if not isinstance(written, dict):
        problems.append(read.problem(("ordinance",), "an ordinance with its name and date was expected: {name: …, date: …}"))
        return "", "", "", ""
    for key in written:
        if key not in _ORDINANCE_KEYS:
            message = f"not read here{did_you_mean(key, _ORDINANCE_KEYS)} (keys: {', '.join(_ORDINANCE_KEYS)})"
            problems.append(read.problem(("ordinance", key), message, at_key=True))
    texts = [written.get(key, default) for key, default in _ORDINANCE_KEYS.items()]
    for key, text in zip(_ORDINANCE_KEYS, texts, strict=True):
        if text == "" and key not in written:
            continue
        if not isinstance(text, str) or not _is_short(text) or "\n" in text:
            problems.append(read.problem(("ordinance", key), f"expected its {key}, one line of at most {LONGEST_TEXT} characters"))
    return tuple(map(str, texts))


def _rows(read: ReadFile, name: str, cells: Tree, problems: list[Problem]) -> Iterator[AmendedRow]:
    if name not in provision_index():
        known = (*KEYS, *provision_index())
        problems.append(read.problem((name,), f"no provision is called that{did_you_mean(name, known)}", at_key=True))
    elif not isinstance(cells, dict) or not cells.keys() - _ROW_KEYS:
        problems.append(read.problem((name,), "expected the editions that are changed", at_key=True))
    else:
        for column in cells:
            if column not in _ROW_KEYS and (row := _row(read, name, column, problems)) is not None:
                yield row


def _row(read: ReadFile, name: str, column: str, problems: list[Problem]) -> AmendedRow | None:
    known = [member.value for member in (*Edition, *FireCode)]
    where = (name, column)
    cells = read.data[name]
    cell = cells[column] if isinstance(cells, dict) else None
    if column not in known:
        problems.append(read.problem(where, f"not an edition{did_you_mean(column, known)}", at_key=True))
    elif cell == ABSENT:
        return AmendedRow(name, column, "", {}, is_repealed=True)
    elif not isinstance(cell, dict) or not cell:
        problems.append(read.problem(where, f'expected changed fields or "{ABSENT}"', at_key=True))
    else:
        section = cell.get("section", "")
        if isinstance(section, str) and len(section) <= LONGEST_TEXT:
            return AmendedRow(name, column, section, {key: value for key, value in cell.items() if key != "section"}, is_repealed=False)
        problems.append(read.problem((*where, "section"), "expected the number of a section"))
    return None
