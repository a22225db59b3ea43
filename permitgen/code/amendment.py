"""A local amendment: an ordinance that changes fields of provisions, in a file of the same shape as ours."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import yaml

from permitgen.code.data_files import provision_index
from permitgen.code.edition import Edition, FireCode
from permitgen.code.errors import DataError, nearest
from permitgen.code.provision import ABSENT, FieldValue, Provision, read_fields

if TYPE_CHECKING:
    from permitgen.code.codebook import CodeBook


class AmendmentError(DataError):
    """An amendment that cannot be applied; the message is ``file:line:column: where: what is wrong``."""


@dataclass(frozen=True, slots=True)
class AmendedRow:
    """What the ordinance does to one provision in one edition: new numbers, a new section, or ``absent``."""

    provision: str
    column: str
    section: str
    fields: Mapping[str, FieldValue]
    is_repealed: bool
    place: str


@dataclass(frozen=True, slots=True)
class Amendment:
    """One ordinance: its name and date, and the rows it changes."""

    ordinance: str
    date: str
    rows: tuple[AmendedRow, ...]

    def applied_to(self, book: CodeBook) -> dict[str, Provision]:
        """Return the provisions of ``book`` that the ordinance changes, as changed.

        Raises:
            AmendmentError: the edition has no such requirement, or the field does not exist or is of another kind.

        """
        return {row.provision: self._amended(row, book) for row in self.rows if row.column == book.column_of(row.provision).value}

    def _amended(self, row: AmendedRow, book: CodeBook) -> Provision:
        provision = book.provision(row.provision)
        if not provision.is_in_force:
            raise AmendmentError(f"{row.place}: {row.provision}: cannot be amended; {provision.citation}")
        if row.is_repealed:
            return Provision(row.provision, provision.book, ABSENT, provision.says, amended_by=self.ordinance)
        for name, value in row.fields.items():
            if name not in provision.fields:
                raise AmendmentError(f"{row.place}: {row.provision}: no field {name!r}{nearest(name, provision.fields)}")
            if type(value) is not type(provision.fields[name]):
                raise AmendmentError(f"{row.place}: {row.provision}.{name}: {value!r} is of another kind than {provision.fields[name]!r}")
        return provision.amended(self.ordinance, row.fields, section=row.section)


def read_amendment(text: str, file: str) -> Amendment:
    """Return the amendment written in ``text``; ``file`` is the name that messages print.

    Raises:
        AmendmentError: not YAML, no ordinance, an unknown provision, or a malformed row.

    """
    try:
        node = yaml.compose(text, Loader=yaml.SafeLoader)
        data = yaml.safe_load(text)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark
        raise AmendmentError(f"{file}:{mark.line + 1 if mark else 1}:{mark.column + 1 if mark else 1}: {error.problem}") from error
    places = _places(node, file)
    ordinance = data.get("ordinance") if isinstance(data, dict) else None
    if not isinstance(ordinance, Mapping) or not ordinance.get("name") or not ordinance.get("date"):
        raise AmendmentError(f"{places.get(('ordinance',), f'{file}:1:1')}: ordinance: expected its name and date")
    rows = [row for name, cell in data.items() if name != "ordinance" for row in _rows(str(name), cell, places)]
    return Amendment(str(ordinance["name"]), str(ordinance["date"]), tuple(rows))


def _rows(name: str, cells: object, places: Mapping[tuple[str, ...], str]) -> list[AmendedRow]:
    place = places[(name,)]
    if name not in provision_index():
        raise AmendmentError(f"{place}: {name}: no provision is called that{nearest(name, provision_index())}")
    if not isinstance(cells, Mapping):
        raise AmendmentError(f"{place}: {name}: expected the editions that are changed")
    return [_row(name, str(column), cell, places) for column, cell in cells.items() if column not in {"says", "doubt"}]


def _row(name: str, column: str, cell: object, places: Mapping[tuple[str, ...], str]) -> AmendedRow:
    place = places[(name, column)]
    known = [member.value for member in (*Edition, *FireCode)]
    if column not in known:
        raise AmendmentError(f"{place}: {name}.{column}: not an edition{nearest(column, known)}")
    if cell == ABSENT:
        return AmendedRow(name, column, "", {}, is_repealed=True, place=place)
    if not isinstance(cell, Mapping):
        raise AmendmentError(f"{place}: {name}.{column}: expected changed fields or {ABSENT!r}")
    try:
        section, fields = read_fields(f"{name}.{column}", cell)
    except DataError as error:
        raise AmendmentError(f"{place}: {error}") from error
    return AmendedRow(name, column, section, fields, is_repealed=False, place=place)


def _places(node: Any, file: str) -> dict[tuple[str, ...], str]:
    places: dict[tuple[str, ...], str] = {}
    for key, value in node.value if isinstance(node, yaml.MappingNode) else ():
        places[(key.value,)] = _place(key, file)
        for inner, _ in value.value if isinstance(value, yaml.MappingNode) else ():
            places[(key.value, inner.value)] = _place(inner, file)
    return places


def _place(node: Any, file: str) -> str:
    return f"{file}:{node.start_mark.line + 1}:{node.start_mark.column + 1}"
