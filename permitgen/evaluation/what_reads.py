"""Which requirements read which fact of a circuit: measured while every rule runs once, so that a trial asks only those that can change.

A judgement that did not read a fact is the same with another one in its place, and so is a quantity that is kept; whoever uses a kept
quantity reads what it read.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

from permitgen.code.watched_book import WatchedBook
from permitgen.evaluation.readings import given_by_reading
from permitgen.evaluation.run_rule import run_rule
from permitgen.rules.given import Given
from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import all_rules
from permitgen.rules.subjects import subjects_of, tag_of
from permitgen.system.conductors import Conductors
from permitgen.system.overcurrent_device import OvercurrentDevice
from permitgen.system.raceway import Raceway
from permitgen.system.read_facts import ReadRecord, Slot, recorded

if TYPE_CHECKING:
    from permitgen.code.codebook import CodeBook
    from permitgen.system.system import System

T = TypeVar("T")

WATCHED = (Conductors, OvercurrentDevice, Raceway)
"""The kinds of things whose facts are watched."""

Requirement = tuple[str, str]
"""The id of a rule and the tag of a subject."""


@dataclass(frozen=True, slots=True)
class Reads:
    """``readers`` are the requirements that read each fact, ``violated`` those that are, just as the system stands.

    ``quantities`` says what each kept quantity read, and ``of_topology`` the same of those kept while only sizes change; nothing is in
    them where a system is judged by several readings or by several books, since each of these keeps its own.
    """

    readers: Mapping[Slot, frozenset[Requirement]]
    violated: frozenset[Requirement]
    quantities: Mapping[Hashable, frozenset[Slot]]
    of_topology: Mapping[Hashable, frozenset[Slot]]


def reads_of_facts(given: Given) -> Reads:
    """Return who reads each fact of conductors, overcurrent devices and raceways, by any reading of figures with several sources."""
    found: dict[Slot, set[Requirement]] = {}
    violated: set[Requirement] = set()
    noting = [_noting(reading.system, book) for reading in given_by_reading(given) for book in _books(given.code)]
    for each in noting:
        for requirement, verdict, slots in _read_by_each(each):
            if verdict is Verdict.VIOLATED:
                violated.add(requirement)
            for slot in slots:
                found.setdefault(slot, set()).add(requirement)
    quantities, of_topology = noting[0].read_by_quantities if len(noting) == 1 else ({}, {})
    return Reads({slot: frozenset(readers) for slot, readers in found.items()}, frozenset(violated), quantities, of_topology)


def _books(code: CodeBook) -> tuple[CodeBook, ...]:
    """Return what an edition is judged by: itself, or where it was not read the edition before, without and with what is reported."""
    return (code,) if code.last_read is code else (WatchedBook(code, as_reported=False), WatchedBook(code, as_reported=True))


def _noting(system: System, book: CodeBook) -> _NotingGiven:
    # Another system, so that nothing it found before is found without reading.
    return _NotingGiven(replace(system), book, ReadRecord(set(), set()), {})


def _read_by_each(given: _NotingGiven) -> Iterator[tuple[Requirement, Verdict, set[Slot]]]:
    record = given.record
    with recorded(given.system, of=WATCHED, record=record):
        for rule in all_rules():
            for subject in subjects_of(given, rule.judges):
                record.slots = set()
                verdict = run_rule(rule, subject, given).verdict
                yield (rule.id, tag_of(subject)), verdict, record.slots


class _NotingGiven(Given):
    """``Given`` whose memory repeats what a quantity read whenever the quantity is used again."""

    def __init__(
        self,
        system: System,
        code: CodeBook,
        record: ReadRecord,
        topology_read: dict[Hashable, frozenset[Slot]],
        topology_memory: dict[Hashable, object] | None = None,
    ) -> None:
        super().__init__(system, code, topology_memory)
        self.record = record
        self._read: dict[Hashable, frozenset[Slot]] = {}
        self._topology_read = topology_read

    @property
    def read_by_quantities(self) -> tuple[Mapping[Hashable, frozenset[Slot]], Mapping[Hashable, frozenset[Slot]]]:
        """What each quantity read, and what each of those read that are kept while only sizes change."""
        return self._read, self._topology_read

    def with_sizes(self, system: System, _memory: dict[Hashable, object] | None = None) -> _NotingGiven:
        return _NotingGiven(system, self.code, self.record, self._topology_read, self._topology_memory)

    def once(self, key: Hashable, compute: Callable[[], T]) -> T:
        value = super().once(key, lambda: self._noted(key, compute, self._read))
        self.record.slots |= self._read[key]
        return value

    def once_for_topology(self, key: Hashable, compute: Callable[[], T]) -> T:
        value = super().once_for_topology(key, lambda: self._noted(key, compute, self._topology_read))
        self.record.slots |= self._topology_read[key]
        return value

    def _noted(self, key: Hashable, compute: Callable[[], T], read: dict[Hashable, frozenset[Slot]]) -> T:
        outer, self.record.slots = self.record.slots, set()
        try:
            return compute()
        finally:
            read[key] = frozenset(self.record.slots)
            self.record.slots |= outer
