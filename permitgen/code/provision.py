"""A provision: one requirement of the code under our own id, with its section and its numbers in one edition."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from types import MappingProxyType

from permitgen.code.errors import DataError, ProvisionNotInForceError, UnknownFieldError, nearest
from permitgen.values.origin import ProvisionField
from permitgen.values.units import UnknownUnitSuffixError, unit_of_name
from permitgen.values.value import Value

IN_FORCE = "in force"
ABSENT = "absent"
UNCONFIRMED = "unconfirmed"
REPORTED = "reported"
CONFIDENCES = ("high", "medium", "low")

FieldValue = float | str | bool | tuple[str, ...]
_ROW_KEYS = {"says", "term", "confidence", "doubt", "source"}
_SAME = re.compile(r"as (.+)")


@dataclass(frozen=True, slots=True)
class Provision:
    """One requirement in one edition.

    ``status`` is ``in force``, ``absent`` (the edition has no such requirement) or ``unconfirmed`` (its text was not read
    for this program). ``section`` names the amending ordinance where a local amendment changed it. ``book`` is empty for
    product standards and trade practice. ``term`` is the word the edition uses where editions differ. ``doubt`` says what
    about the section or its numbers is not certain; empty where nothing is.
    """

    id: str
    book: str
    status: str
    says: str
    section: str = ""
    term: str = ""
    confidence: str = "high"
    doubt: str = ""
    amended_by: str = ""
    fields: Mapping[str, FieldValue] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def citation(self) -> str:
        """The section with its book, for example ``NEC 2020 240.4(B)``; without a section, the book and the status."""
        if self.status == ABSENT:
            return f"{self.book}: no such requirement"
        if self.status == UNCONFIRMED:
            return f"{self.book}: text not confirmed in this program"
        return self.section if self.section.startswith(self.book) else f"{self.book} {self.section}"

    @property
    def is_in_force(self) -> bool:
        """Whether the edition has the requirement and its text is known here."""
        return self.status == IN_FORCE

    def value(self, name: str) -> Value:
        """Return the number ``name`` of the provision; the suffix of the name is its unit.

        Raises:
            ProvisionNotInForceError: absent or unconfirmed in this edition.
            UnknownFieldError: no such field, or it is not a number.

        """
        number = self._field(name)
        if isinstance(number, bool) or not isinstance(number, int | float):
            raise UnknownFieldError(f"{self.id}: the field {name!r} is not a number")
        origin = ProvisionField(self.id, self.section, name)
        return Value(float(number), unit_of_name(name), origin, title=_words_of(name))

    def text(self, name: str) -> str:
        """Return the text ``name`` of the provision, for example a conductor size.

        Raises:
            ProvisionNotInForceError: absent or unconfirmed in this edition.
            UnknownFieldError: no such field, or it is not text.

        """
        text = self._field(name)
        if not isinstance(text, str):
            raise UnknownFieldError(f"{self.id}: the field {name!r} is not text")
        return text

    def words(self, name: str) -> tuple[str, ...]:
        """Return the list of words ``name`` of the provision, for example the exempt insulation types.

        Raises:
            ProvisionNotInForceError: absent or unconfirmed in this edition.
            UnknownFieldError: no such field, or it is not a list.

        """
        words = self._field(name)
        if not isinstance(words, tuple):
            raise UnknownFieldError(f"{self.id}: the field {name!r} is not a list of words")
        return words

    def flag(self, name: str) -> bool:
        """Return the yes or no ``name`` of the provision.

        Raises:
            ProvisionNotInForceError: absent or unconfirmed in this edition.
            UnknownFieldError: no such field, or it is not yes or no.

        """
        flag = self._field(name)
        if not isinstance(flag, bool):
            raise UnknownFieldError(f"{self.id}: the field {name!r} is not yes or no")
        return flag

    def has(self, name: str) -> bool:
        """Whether the edition gives the field ``name``."""
        return name in self.fields

    def amended(self, ordinance: str, changes: Mapping[str, FieldValue], *, section: str = "") -> Provision:
        """Return the provision with ``changes`` in its fields; its section names ``ordinance``."""
        changed = MappingProxyType({**self.fields, **changes})
        return replace(self, section=f"{section or self.section} as amended by {ordinance}", amended_by=ordinance, fields=changed)

    def _field(self, name: str) -> FieldValue:
        if self.status != IN_FORCE:
            raise ProvisionNotInForceError(f"{self.id}: {self.citation}")
        if name not in self.fields:
            raise UnknownFieldError(f"{self.id}, {self.book}: no field {name!r}{nearest(name, self.fields)}")
        return self.fields[name]


@cache
def _words_of(name: str) -> str:
    unit = unit_of_name(name)
    return (name if unit in {"factor", "count"} else name.removesuffix(f"_{unit}")).replace("_", " ")


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
    provision = Provision(name, book, IN_FORCE, says, term=term, confidence=str(confidence), doubt=doubt)
    cell = _cell(name, row, column)
    if isinstance(cell, str):
        return replace(provision, status=cell)
    if REPORTED in cell:
        return replace(provision, status=UNCONFIRMED, doubt=f"reported in the trade press, text to be confirmed: {cell[REPORTED]}")
    section, fields = read_fields(f"{name}: {column}", cell)
    if not section:
        raise DataError(f"{name}: {column}: a section is missing")
    return replace(provision, section=section, fields=MappingProxyType(fields))


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
    raise DataError(f"{name}: {column}: expected a section with its fields, {ABSENT!r}, {UNCONFIRMED!r}, {REPORTED!r} or 'as <edition>'")


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
