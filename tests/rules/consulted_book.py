"""A code book that remembers what it was asked, and whether another edition would have answered the same."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from permitgen.code.codebook import CodeBook
from permitgen.code.errors import TableNotInForceError
from permitgen.code.provision import Provision
from permitgen.code.table import Table
from tests.rules.case_files import code_of


class ConsultedBook:
    """A code book that remembers what it was asked: provisions and tables by name, and ``asked_otherwise`` for anything else."""

    def __init__(self, book: CodeBook) -> None:
        self.book = book
        self.provisions: set[str] = set()
        self.tables: set[str] = set()
        self.asked_otherwise = False
        self.amendments = book.amendments

    def provision(self, provision_id: str) -> Provision:
        self.provisions.add(provision_id)
        return self.book.provision(provision_id)

    def table(self, name: str) -> Table:
        self.tables.add(name)
        return self.book.table(name)

    def __getattr__(self, name: str) -> Any:
        self.asked_otherwise = True
        return getattr(self.book, name)

    def would_have_answered_the_same(self, edition: str) -> bool:
        """Whether ``edition`` gives the same row for everything asked, but for the name of the book."""
        editions = (self.book.edition.value, edition, self.book.fire_code.value)
        if self.asked_otherwise or self.amendments:
            return False
        rows = all(same_provision(name, *editions) for name in self.provisions)
        return rows and all(same_table(name, *editions) for name in self.tables)


@cache
def same_provision(name: str, one: str, other: str, fire_code: str) -> bool:
    first, second = (code_of(edition, fire_code).provision(name) for edition in (one, other))
    return first == replace(second, book=first.book)


@cache
def same_table(name: str, one: str, other: str, fire_code: str) -> bool:
    """Whether two editions print the same table; one that either lacks counts as different."""
    try:
        first, second = (code_of(edition, fire_code).table(name) for edition in (one, other))
    except TableNotInForceError:
        return False
    return first == replace(second, book=first.book)
