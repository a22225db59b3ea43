"""One edition of the code with the local amendments to it: the door through which rules ask for sections and numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache, cached_property
from math import prod
from typing import TYPE_CHECKING

from permitgen.code.amended_table import amended_tables
from permitgen.code.data_files import provision_index, provision_row, table_data, table_names
from permitgen.code.edition import FIRE_CODE_WHERE_NOT_STATED, Edition, FireCode
from permitgen.code.errors import DataError, TableNotInForceError, TableNotReadError, UnknownProvisionError, UnknownTableError
from permitgen.code.provision import UNCONFIRMED, Provision
from permitgen.code.provision_reading import read_provision
from permitgen.code.table import Table
from permitgen.code.table_reading import TableReport, read_report, read_table
from permitgen.reading.nearest import did_you_mean
from permitgen.values.origin import ProvisionField
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.code.amendment import Amendment
    from permitgen.code.local_requirement import LocalRequirement

FIRE_CODE_FILE = "fire_code"
OUTSIDE_THE_CODE_FILE = "standards_and_practice"


class CodeBook:
    """The provisions and tables of one edition, amended in the order of ``amendments``.

    ``fire_code`` names the book for the place of storage and the access to roofs; where it is not stated, IRC 2021.
    """

    def __init__(self, edition: Edition | str | int, amendments: Sequence[Amendment] = (), fire_code: str = "") -> None:
        """Open the book.

        Raises:
            UnknownEditionError: the edition or the fire code is not known.
            ProblemsError: an amendment changes a provision or field that does not exist.

        """
        self.edition = Edition.of(edition)
        self.fire_code = FireCode.of(fire_code) if fire_code else FIRE_CODE_WHERE_NOT_STATED
        self.amendments = tuple(amendments)
        self._provisions: dict[str, Provision] = {}
        self._tables: dict[str, Table] = {}
        for amendment in self.amendments:
            self._provisions.update(amendment.applied_to(self))
            self._provisions.update({each.id: each.provision for each in amendment.additions.requirements})
            self._tables.update(amended_tables(amendment, self))

    @property
    def local_requirements(self) -> tuple[LocalRequirement, ...]:
        """What the ordinances in force ask for beyond the code."""
        return tuple(each for amendment in self.amendments for each in amendment.additions.requirements)

    def factors(self, rule_id: str) -> tuple[Value, Value] | None:
        """Return what ordinances multiply with before they are compared, the computed number and the limit; None where none does."""
        found = [(a.ordinance, each) for a in self.amendments for each in a.additions.factors if each.rule == rule_id]
        if not found:
            return None
        names = " and ".join(name for name, _ in found)
        origin, title = ProvisionField(names, names, "factor"), f"factor of {names}"
        numbers = prod(each.computed for _, each in found), prod(each.limit for _, each in found)
        return Value(numbers[0], "factor", origin, "k", title), Value(numbers[1], "factor", origin, "k", title)

    @cached_property
    def last_read(self) -> CodeBook:
        """The book itself, or the one before it where the text of its edition was not read for this program."""
        edition = self.edition.last_read
        return self if edition is self.edition else CodeBook(edition, self.amendments, self.fire_code)

    @property
    def provision_ids(self) -> tuple[str, ...]:
        """Every id of a provision, sorted."""
        return tuple(sorted(provision_index()))

    @property
    def table_names(self) -> tuple[str, ...]:
        """Every name of a table, sorted."""
        return tuple(sorted(table_names()))

    def provision(self, provision_id: str) -> Provision:
        """Return the provision as this edition, and the amendments, have it.

        Raises:
            UnknownProvisionError: no provision has this id.

        """
        if provision_id not in self._provisions:
            self._provisions[provision_id] = self._read_provision(provision_id)
        return self._provisions[provision_id]

    def table(self, name: str) -> Table:
        """Return the table as this edition has it.

        Raises:
            UnknownTableError: no table has this name.
            TableNotInForceError: the edition has no such table, or its table is not confirmed in this program.

        """
        if name not in self._tables:
            self._tables[name] = self._read_table(name)
        return self._tables[name]

    def is_of_no_edition(self, name: str) -> bool:
        """Whether a table is none of the code's, a standard's or the trade's, so that every edition has it alike."""
        return isinstance(table_data(name).get("number"), str)

    def table_report(self, name: str) -> TableReport | None:
        """Return what is reported of a table that this edition, which was not read, keeps; None where nothing is.

        Raises:
            DataError: the report does not say its grade, its source or the table's number.

        """
        numbers = table_data(name).get("number")
        report = {str(key): value for key, value in numbers.items()}.get(self.edition.value) if isinstance(numbers, Mapping) else None
        return read_report(name, report) if isinstance(report, Mapping) else None

    def column_of(self, provision_id: str) -> Edition | FireCode:
        """Return the edition, or the fire code, whose column of the provision is in force.

        Raises:
            UnknownProvisionError: no provision has this id.

        """
        index = provision_index()
        if provision_id not in index:
            raise UnknownProvisionError(f'no provision is called "{provision_id}"{did_you_mean(provision_id, index)}')
        return self.fire_code if index[provision_id][0] == FIRE_CODE_FILE else self.edition

    def _read_provision(self, provision_id: str) -> Provision:
        return _provision_in(self.column_of(provision_id), provision_id)

    def _read_table(self, name: str) -> Table:
        if name not in table_names():
            raise UnknownTableError(f'no table is called "{name}"{did_you_mean(name, table_names())}')
        return _table_in(self.edition, name)


# What an edition says is the same for every project, so that it is read once; amendments are laid over it in each book.
@cache
def _provision_in(column: Edition | FireCode, provision_id: str) -> Provision:
    file = provision_index()[provision_id][0]
    book = "" if file == OUTSIDE_THE_CODE_FILE else column.book
    provision = read_provision(provision_id, provision_row(provision_id), column.value, book)
    if file == FIRE_CODE_FILE and provision.is_in_force:
        return replace(provision, section=f"{provision.book} {provision.section}")
    return provision


@cache
def _table_in(edition: Edition, name: str) -> Table:
    data = table_data(name)
    return read_table(name, data, edition.value, _number_of(edition, name, data), edition.book)


def _number_of(edition: Edition, name: str, data: Mapping[str, object]) -> str:
    numbers = data.get("number")
    if isinstance(numbers, str):
        return numbers
    if not isinstance(numbers, Mapping):
        raise DataError(f"tables/{name}.yaml: number: expected the table's number in each edition")
    number = {str(key): value for key, value in numbers.items()}.get(edition.value, UNCONFIRMED)
    if number is None:
        raise TableNotInForceError(f"{edition.book} has no table of {data.get('holds')}")
    if number == UNCONFIRMED or isinstance(number, Mapping):
        raise TableNotReadError(f"{edition.book}: the table of {data.get('holds')} is not confirmed in this program")
    if not isinstance(number, str):
        raise DataError(f"tables/{name}.yaml: number: {number!r} is not text; quote it")
    return number
