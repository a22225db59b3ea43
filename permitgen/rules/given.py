"""What a rule is given: the system, the code in force, and a memory so that a quantity is computed once."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from typing import TYPE_CHECKING, TypeVar, cast

from permitgen.values.missing_fact import MissingFactError, stated

if TYPE_CHECKING:
    from permitgen.code.codebook import CodeBook
    from permitgen.code.provision import Provision
    from permitgen.code.table import Table
    from permitgen.system.system import System

T = TypeVar("T")
Reading = tuple[str, str]
"""The name of a disputed point and how it was read."""

__all__ = ["Given", "MissingFactError", "NotInForceError"]


class NotInForceError(Exception):
    """A provision does not exist, or is not confirmed, in the edition in force."""

    def __init__(self, provision: Provision) -> None:
        super().__init__(provision.id)
        self.provision = provision


class Given:
    """Everything a rule may ask for."""

    def __init__(
        self,
        system: System,
        code: CodeBook,
        topology_memory: dict[Hashable, object] | None = None,
        memory: dict[Hashable, object] | None = None,
    ) -> None:
        self.system = system
        self.code = code
        self._memory: dict[Hashable, object] = {} if memory is None else memory
        self._topology_memory: dict[Hashable, object] = {} if topology_memory is None else topology_memory
        self.readings: set[Reading] = set()
        self._rests_on: dict[Hashable, frozenset[Reading]] = {}

    @property
    def remembered(self) -> tuple[Mapping[Hashable, object], Mapping[Hashable, object]]:
        """What was computed once so far, and what of it is kept while only sizes change, by key."""
        return self._memory, self._topology_memory

    def with_sizes(self, system: System, memory: dict[Hashable, object] | None = None) -> Given:
        """Return what a rule is given for ``system``, which differs from this one in sizes only: the graph is the same.

        ``memory`` holds what is known already of ``system``.
        """
        sized = Given(system, self.code, self._topology_memory, memory)
        sized._rests_on = dict(self._rests_on)
        return sized

    def need(self, fact: T | None, name: str) -> T:
        """Return ``fact``.

        Raises:
            MissingFactError: it is None; ``name`` is what the finding asks for.
        """
        return stated(fact, name)

    def provision(self, id_: str) -> Provision:
        """Return a provision of the edition in force.

        Raises:
            NotInForceError: the edition has no such provision, or its text is not confirmed in this program.
        """
        found = self.code.provision(id_)
        if found.status != "in force":
            raise NotInForceError(found)
        return found

    def in_force(self, id_: str) -> bool:
        """Whether the edition in force has the provision."""
        return self.code.provision(id_).status == "in force"

    def table(self, name: str) -> Table:
        """Return a table of the code as the edition in force prints it."""
        return self.code.table(name)

    def option(self, name: str, default: str) -> str:
        """Return the reading of a disputed point that the jurisdiction chose, else ``default``; ``readings`` remember that it was asked."""
        choice = self.system.jurisdiction.option(name, default)
        self.readings.add((name, choice))
        return choice

    def once(self, key: Hashable, compute: Callable[[], T]) -> T:
        """Return ``compute()``, computed once per key; the readings that it rests on count each time."""
        if key not in self._memory:
            self._memory[key] = self._with_readings(key, compute)
        elif key in self._rests_on:
            self.readings |= self._rests_on[key]
        return cast("T", self._memory[key])

    def _with_readings(self, key: Hashable, compute: Callable[[], T]) -> T:
        outer, self.readings = self.readings, set()
        try:
            return compute()
        finally:
            if self.readings:
                self._rests_on[key] = frozenset(self.readings)
            self.readings |= outer

    def once_for_topology(self, key: Hashable, compute: Callable[[], T]) -> T:
        """Return ``compute()``, computed once per key and kept while only sizes of conductors and raceways change."""
        if key not in self._topology_memory:
            self._topology_memory[key] = self._with_readings(key, compute)
        elif key in self._rests_on:
            self.readings |= self._rests_on[key]
        return cast("T", self._topology_memory[key])
