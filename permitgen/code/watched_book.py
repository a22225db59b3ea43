"""A book of the last edition that was read, which notes what is asked of it: what rests on a report, or on nothing, can then be told.

Its sections name their edition, because they are printed under the next one; where a report is laid over it, what is reported
stands there with the values and the section that are reported.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal, NamedTuple

from permitgen.code.codebook import CodeBook

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.code.table import Table


class Asked(NamedTuple):
    """A provision or a table that was looked up."""

    kind: Literal["provision", "table"]
    name: str


class WatchedBook(CodeBook):
    """The edition before ``unread``, with what is reported of ``unread`` laid over it or without.

    ``asked`` holds what was looked up since it was last emptied.
    """

    def __init__(self, unread: CodeBook, *, as_reported: bool) -> None:
        """Open the edition before; its amendments stand in it already."""
        super().__init__(unread.last_read.edition, fire_code=unread.fire_code.value)
        self.amendments = unread.amendments
        self.asked: set[Asked] = set()
        self._book = unread.last_read
        self._report = unread if as_reported else None

    def provision(self, provision_id: str) -> Provision:
        """Return the provision as reported, else as the edition of the book has it, and note that it was asked for.

        Raises:
            UnknownProvisionError: no provision has this id.

        """
        self.asked.add(Asked("provision", provision_id))
        if provision_id not in self._provisions:
            self._provisions[provision_id] = self._laid_over(provision_id)
        return self._provisions[provision_id]

    def table(self, name: str) -> Table:
        """Return the table as reported, else as the edition of the book has it, and note that it was asked for.

        Raises:
            UnknownTableError: no table has this name.
            TableNotInForceError: the edition has no such table.

        """
        self.asked.add(Asked("table", name))
        if name not in self._tables:
            table = self._book.table(name)
            report = self._report.table_report(name) if self._report is not None else None
            named = table.number if self.is_of_no_edition(name) else f"{table.book} {table.number}"
            self._tables[name] = replace(table, number=report.number if report is not None else named)
        return self._tables[name]

    def _laid_over(self, provision_id: str) -> Provision:
        before = self._book.provision(provision_id)
        report = self._report.provision(provision_id) if self._report is not None else None
        if report is not None and report.is_reported and before.is_in_force:
            return before.as_reported(report)
        return replace(before, section=before.citation) if before.is_in_force else before
