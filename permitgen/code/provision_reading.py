"""Reads the row of a provision file as one edition has it, and refuses what a careless edit could leave in it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from permitgen.code.edition import UNREAD_COLUMNS
from permitgen.code.errors import DataError
from permitgen.code.grade import Grade, derived_grade
from permitgen.code.provision import ABSENT, IN_FORCE, REPORTED, UNCONFIRMED, FieldValue, Provision
from permitgen.reading.nearest import did_you_mean
from permitgen.values.units import UnknownUnitSuffixError, unit_of_name

CONFIDENCES = ("high", "medium", "low")
_ROW_KEYS = {"says", "term", "confidence", "doubt", "source", "open_shuts"}
GATES = ("permit", "hang")
"""The gates that an open point may shut: what is energized is tested first, and a test that was not made shuts that gate."""
_SAME = re.compile(r"as (.+)")


def read_provision(name: str, row: Mapping[object, object], column: str, book: str) -> Provision:
    """Return the row ``name`` of a provision file as it stands in the edition ``column``.

    Raises:
        DataError: the row is malformed; the message names row, edition and field.

    """
    says = row.get("says")
    if not isinstance(says, str) or not says:
        raise DataError(f"{name}: says: one line in our own words is missing")
    confidence = row.get("confidence")
    if confidence not in CONFIDENCES:
        raise DataError(f"{name}: confidence: {confidence!r} is not one of {', '.join(CONFIDENCES)}")
    term, doubt = _by_edition(row.get("term"), column), _by_edition(row.get("doubt"), column)
    shuts = _open_shuts(name, row)
    provision = Provision(name, book, IN_FORCE, says, term=term, confidence=str(confidence), doubt=doubt, open_shuts=shuts)
    cell = _cell(name, row, column)
    if cell == UNCONFIRMED:
        return replace(provision, status=UNCONFIRMED, grade=Grade.NOT_READ)
    if column in UNREAD_COLUMNS and book:
        if isinstance(cell, str) or "grade" not in cell:
            raise DataError(f"{name}: {column}: this edition was not read: {UNCONFIRMED!r}, or grade and source of what is reported")
        return _read_report(provision, row, column, cell)
    source = _by_edition(row.get("source"), column)
    if isinstance(cell, str):
        return _graded(replace(provision, status=cell), source, column)
    section, fields = read_fields(f"{name}: {column}", cell)
    if not section:
        raise DataError(f"{name}: {column}: a section is missing")
    return _graded(replace(provision, section=section, fields=MappingProxyType(fields)), source, column)


def _open_shuts(name: str, row: Mapping[object, object]) -> tuple[str, ...]:
    gates = row.get("open_shuts", ())
    if not isinstance(gates, list | tuple) or not all(gate in GATES for gate in gates):
        raise DataError(f"{name}: open_shuts: {gates!r} is not a list of {', '.join(GATES)}")
    return tuple(gates)


def _graded(provision: Provision, source: str, column: str) -> Provision:
    """Return the provision with the grade that its source earns in this edition, and with the source where it earns one."""
    grade = derived_grade(source, column, section=provision.section)
    return replace(provision, grade=grade, source="" if grade is Grade.NOT_RECORDED else source)


_REPORT_KEYS = frozenset({"as", "grade", "source", "section", "reported", "relaxes", "reports"})


def _read_report(provision: Provision, row: Mapping[object, object], column: str, cell: Mapping[object, object]) -> Provision:
    """Return the row in an edition whose text was not read: as before with what is reported, or no more than what is said of it."""
    where = f"{provision.id}: {column}"
    words = _report_words(where, cell)
    grade, section, reports = Grade(words["grade"]), words.get("section", ""), words.get("reports", "")
    doubt = "; ".join(part for part in (provision.doubt, reports) if part)
    found = replace(provision, section=section, grade=grade, source=words["source"], doubt=doubt, reports=reports)
    if grade is Grade.NOT_READ:
        return replace(found, status=UNCONFIRMED)
    before = words.get("as", "")
    if not section or not isinstance(_cell(provision.id, row, before), Mapping):
        raise DataError(f"{where}: a section is missing" if not section else f"{where}: as: {before!r} holds no requirement")
    fields = _reported_fields(where, row, cell.get("reported", {}))
    return replace(found, status=REPORTED, relaxes=words.get("relaxes", ""), fields=fields)


def _report_words(where: str, cell: Mapping[object, object]) -> dict[str, str]:
    """Return what a cell says of an edition that was not read; without grade and source it says nothing that may be used."""
    words = {str(key): str(value) for key, value in cell.items()}
    if unknown := sorted(words.keys() - _REPORT_KEYS):
        raise DataError(f"{where}: unknown {', '.join(unknown)}; known: {', '.join(sorted(_REPORT_KEYS))}")
    if words["grade"] not in {Grade.REPORTED, Grade.NOT_READ}:
        raise DataError(f"{where}: grade: {words['grade']!r} is not {Grade.REPORTED.value!r} or {Grade.NOT_READ.value!r}")
    if not words.get("source"):
        raise DataError(f"{where}: source: what is stated of an edition that was not read names who reports it")
    says = words.get("section") or words.get("reports")
    if words["grade"] == Grade.NOT_READ and (not says or words.keys() & {"as", "reported", "relaxes"}):
        raise DataError(f"{where}: of what is not read only its section, or in words under reports: what is said of it, is stated")
    return words


def _reported_fields(where: str, row: Mapping[object, object], reported: object) -> Mapping[str, FieldValue]:
    """Return the values that are reported to be others; each stands in the row of an edition before, as the same kind of value."""
    if not isinstance(reported, Mapping):
        raise DataError(f"{where}: reported: expected the fields with the values that are reported")
    _, fields = read_fields(where, reported)
    known: dict[str, object] = {}
    for cell in row.values():
        if isinstance(cell, Mapping) and "section" in cell and "grade" not in cell:
            known.update({str(key): value for key, value in cell.items()})
    for name in fields:
        if name not in known:
            raise DataError(f"{where}: reported: no edition before has the field {name!r}{did_you_mean(name, known)}")
    return MappingProxyType(fields)


def columns_of(row: Mapping[object, object]) -> tuple[str, ...]:
    """Return the editions for which a row of a provision file says something."""
    return tuple(str(key) for key in row if str(key) not in _ROW_KEYS)


def _cell(name: str, row: Mapping[object, object], column: str) -> Mapping[object, object] | str:
    columns = {str(key): value for key, value in row.items()}
    if column not in columns:
        raise DataError(f"{name}: the column {column} is missing")
    cell = columns[column]
    same = _SAME.fullmatch(cell) if isinstance(cell, str) else None
    if same is not None:
        cell = columns.get(same[1])
        if not isinstance(cell, Mapping):
            raise DataError(f"{name}: {column}: {same[0]!r} points to nothing")
    if isinstance(cell, Mapping) or cell in {ABSENT, UNCONFIRMED}:
        return cell
    raise DataError(f"{name}: {column}: expected a section with its fields, {ABSENT!r}, {UNCONFIRMED!r} or 'as <edition>'")


def read_fields(where: str, cell: Mapping[object, object]) -> tuple[str, dict[str, FieldValue]]:
    """Return section (empty where not given) and fields of one edition's cell.

    Raises:
        DataError: a section that is not quoted, a number whose name has no unit, or a kind of value that is not allowed.

    """
    section = cell.get("section", "")
    if not isinstance(section, str):
        raise DataError(f"{where}: section: {section!r} is a number; quote it, else a closing zero is lost")
    fields: dict[str, FieldValue] = {}
    for key, value in cell.items():
        if key != "section":
            fields[str(key)] = _field_value(f"{where}: {key}", str(key), value)
    return section, fields


def _field_value(where: str, name: str, value: object) -> FieldValue:
    if isinstance(value, bool | str):
        return value
    if isinstance(value, Sequence) and all(isinstance(word, str) for word in value):
        return tuple(value)
    if not isinstance(value, int | float):
        raise DataError(f"{where}: expected a number, text, yes or no, or a list of words, got {value!r}")
    try:
        unit_of_name(name)
    except UnknownUnitSuffixError as error:
        raise DataError(f"{where}: {error}") from error
    return float(value)


def _by_edition(value: object, column: str) -> str:
    if isinstance(value, Mapping):
        return str({str(key): text for key, text in value.items()}.get(column, ""))
    return str(value or "")
