"""What a change leaves as it was: quantities of an evaluated system that read nothing of what was changed, so that trials start with them.

Who read what is measured (``what_reads``). A quantity that holds a changed thing itself is computed anew even where it read nothing of it:
whoever uses it might.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Set
from contextlib import suppress
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum
from functools import cached_property
from typing import TYPE_CHECKING

from permitgen.code.provision import Provision
from permitgen.evaluation.what_reads import WATCHED, reads_of_facts
from permitgen.rules.given import Given
from permitgen.system.read_facts import is_of_a_system, owners_in
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.system.read_facts import Owner, Slot
    from permitgen.system.system import System

_HOLDS_NOTHING = (str, int, float, Enum, type(None), Value, ConductorSize, Provision)


class _OpaqueError(Exception):
    """A quantity holds something of which nobody can say what it holds, or a thing that stands nowhere in the system."""


@dataclass(frozen=True, slots=True)
class _Quantity:
    """A quantity: what it read, the places of the watched things in it, and whether it holds any thing of a system."""

    key: Hashable
    value: object
    read: frozenset[Slot]
    owners: frozenset[Owner]
    holds_things: bool


def kept_quantities(given: Given) -> KeptQuantities:
    """Return the quantities of an evaluated state, found once for it."""
    return given.once("kept quantities", lambda: KeptQuantities(given))


class KeptQuantities:
    """The quantities that an evaluated state keeps, by what they read and hold; ``owners`` are the places of its things by ``id()``."""

    def __init__(self, given: Given) -> None:
        self._given = given
        self.reads = reads_of_facts(given)
        self.owners: Mapping[int, Owner] = owners_in(given.system)
        self._unmoved: dict[tuple[Slot, ...], tuple[dict[Hashable, object], ...]] = {}

    def given_for(self, system: System, slots: tuple[Slot, ...], *, is_of_sizes: bool) -> Given:
        """Return what a rule is given for a system that differs in ``slots``, with every quantity that these cannot have moved.

        Where the change ``is_of_sizes``, what is kept while only sizes change is kept, too.
        """
        keeps_graph = system.keeps_graph_of(self._given.system)
        if slots not in self._unmoved:
            self._unmoved[slots] = tuple(_without(each, slots, keeps_graph=keeps_graph) for each in self._known)
        memory, of_topology = (dict(each) for each in self._unmoved[slots])
        if is_of_sizes:
            return self._given.with_sizes(system, memory)
        return Given(system, self._given.code, of_topology, memory)

    @cached_property
    def _known(self) -> tuple[list[_Quantity], list[_Quantity]]:
        """Every quantity of which it was measured what it reads and can be told what it holds; those of the topology apart."""
        quantities, of_topology = self._given.remembered
        return self._told(quantities, self.reads.quantities), self._told(of_topology, self.reads.of_topology)

    def _told(self, kept: Mapping[Hashable, object], read: Mapping[Hashable, frozenset[Slot]]) -> list[_Quantity]:
        found = []
        for key, value in kept.items():
            if key in read:
                with suppress(_OpaqueError, KeyError):
                    things = list(things_in(value))
                    owners = frozenset(self.owners[id(thing)] for thing in things if isinstance(thing, WATCHED))
                    found.append(_Quantity(key, value, read[key], owners, holds_things=bool(things)))
        return found


def _without(quantities: list[_Quantity], slots: tuple[Slot, ...], *, keeps_graph: bool) -> dict[Hashable, object]:
    """Return the quantities that read none of ``slots`` and do not hold what these belong to.

    Another graph is of other things, which are told apart by being the same and not by being alike: there what holds any is left out.
    """
    changed = {slot.owner for slot in slots}
    return {
        each.key: each.value
        for each in quantities
        if each.read.isdisjoint(slots) and each.owners.isdisjoint(changed) and (keeps_graph or not each.holds_things)
    }


def things_in(value: object) -> Iterator[object]:
    """Yield the things of a system in a value, through containers and dataclasses; fails on what cannot be looked into."""
    if isinstance(value, _HOLDS_NOTHING):
        return
    if is_of_a_system(type(value)):
        yield value
    for part in _parts_of(value):
        yield from things_in(part)


def _parts_of(value: object) -> Iterator[object]:
    if isinstance(value, Mapping):
        yield from value
        yield from value.values()
    elif isinstance(value, (tuple, list, Set)):
        yield from value
    elif is_dataclass(value):
        yield from (getattr(value, each.name) for each in fields(value))
    else:
        raise _OpaqueError(type(value).__name__)
