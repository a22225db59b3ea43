"""Which requirements read which fact of a circuit: measured while every rule runs once, so that a trial asks only those that can change.

A judgement that did not read a fact is the same with another one in its place. A quantity that is kept is read anew by whoever uses it.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from permitgen.code.watched_book import WatchedBook
from permitgen.evaluation.readings import given_by_reading
from permitgen.evaluation.run_rule import run_rule
from permitgen.rules.given import Given
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

Requirement = tuple[str, str]
"""The id of a rule and the tag of a subject."""


def readers_of_facts(given: Given) -> Mapping[Slot, frozenset[Requirement]]:
    """Return who reads each fact of conductors, overcurrent devices and raceways, by any reading of figures with several sources."""
    found: dict[Slot, set[Requirement]] = {}
    for reading in given_by_reading(given):
        for book in _books(given.code):
            for requirement, slots in _read_by_each(reading.system, book):
                for slot in slots:
                    found.setdefault(slot, set()).add(requirement)
    return {slot: frozenset(readers) for slot, readers in found.items()}


def _books(code: CodeBook) -> tuple[CodeBook, ...]:
    """Return what an edition is judged by: itself, or where it was not read the edition before, without and with what is reported."""
    return (code,) if code.last_read is code else (WatchedBook(code, as_reported=False), WatchedBook(code, as_reported=True))


def _read_by_each(system: System, book: CodeBook) -> Iterator[tuple[Requirement, set[Slot]]]:
    # Another system, so that nothing it found before is found without reading.
    fresh = replace(system)
    with recorded(fresh, of=(Conductors, OvercurrentDevice, Raceway)) as record:
        given = _NotingGiven(fresh, book, record, {})
        for rule in all_rules():
            for subject in subjects_of(given, rule.judges):
                record.slots = set()
                run_rule(rule, subject, given)
                yield (rule.id, tag_of(subject)), record.slots


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
        self._record = record
        self._read: dict[Hashable, frozenset[Slot]] = {}
        self._topology_read = topology_read

    def with_sizes(self, system: System) -> _NotingGiven:
        return _NotingGiven(system, self.code, self._record, self._topology_read, self._topology_memory)

    def once(self, key: Hashable, compute: Callable[[], T]) -> T:
        value = super().once(key, lambda: self._noted(key, compute, self._read))
        self._record.slots |= self._read[key]
        return value

    def once_for_topology(self, key: Hashable, compute: Callable[[], T]) -> T:
        value = super().once_for_topology(key, lambda: self._noted(key, compute, self._topology_read))
        self._record.slots |= self._topology_read[key]
        return value

    def _noted(self, key: Hashable, compute: Callable[[], T], read: dict[Hashable, frozenset[Slot]]) -> T:
        outer, self._record.slots = self._record.slots, set()
        try:
            return compute()
        finally:
            read[key] = frozenset(self._record.slots)
            self._record.slots |= outer
