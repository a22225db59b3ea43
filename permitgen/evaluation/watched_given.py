"""What a rule is given under an edition that was not read: each judgement, and each quantity kept, knows what it asked of the code."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TYPE_CHECKING, TypeVar

from permitgen.rules.given import Given

if TYPE_CHECKING:
    from permitgen.code.watched_book import Asked, WatchedBook
    from permitgen.system.system import System

T = TypeVar("T")


class WatchedGiven(Given):
    """``Given`` whose memory repeats what a quantity asked of the book whenever the quantity is used again."""

    def __init__(
        self,
        system: System,
        code: WatchedBook,
        topology_memory: dict[Hashable, object] | None = None,
        topology_asked: dict[Hashable, frozenset[Asked]] | None = None,
    ) -> None:
        super().__init__(system, code, topology_memory)
        self._book = code
        self._asked: dict[Hashable, frozenset[Asked]] = {}
        self._topology_asked: dict[Hashable, frozenset[Asked]] = {} if topology_asked is None else topology_asked

    def with_sizes(self, system: System, _memory: dict[Hashable, object] | None = None) -> WatchedGiven:
        """Return what a rule is given for ``system``, differing from this one in sizes only; watched by the same book from the start."""
        return WatchedGiven(system, self._book, self._topology_memory, self._topology_asked)

    def once(self, key: Hashable, compute: Callable[[], T]) -> T:
        """Return ``compute()``, computed once per key; what it asked of the book counts each time."""
        value = super().once(key, lambda: self._noted(key, compute, self._asked))
        self._book.asked |= self._asked[key]
        return value

    def once_for_topology(self, key: Hashable, compute: Callable[[], T]) -> T:
        """Return ``compute()``, computed once per key and graph; what it asked of the book counts each time."""
        value = super().once_for_topology(key, lambda: self._noted(key, compute, self._topology_asked))
        self._book.asked |= self._topology_asked[key]
        return value

    def _noted(self, key: Hashable, compute: Callable[[], T], asked: dict[Hashable, frozenset[Asked]]) -> T:
        outer, self._book.asked = self._book.asked, set()
        try:
            return compute()
        finally:
            asked[key] = frozenset(self._book.asked)
            self._book.asked |= outer
