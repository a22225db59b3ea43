"""The graph of nodes and links, and the one walk that everything else is made of."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypeVar, cast

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.operating_mode import OperatingMode


T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Graph:
    """All links, and those at each node. ``walked`` remembers walks by a key; it lives as long as the graph."""

    links: tuple[Link, ...]
    at_node: Mapping[str, tuple[Link, ...]]
    walked: dict[Hashable, Any] = field(default_factory=dict, compare=False, repr=False)

    def once(self, key: Hashable, walk: Callable[[], T]) -> T:
        """Return ``walk()``, walked once per key."""
        if key not in self.walked:
            self.walked[key] = walk()
        return cast("T", self.walked[key])

    def reach(self, starts: Iterable[str], passes: Callable[[Link], bool]) -> dict[str, Link | None]:
        """Return every node reachable from ``starts`` over links that ``passes`` accepts.

        The value of a node is the link by which it was first reached (None for a start): following it back gives a shortest path.
        """
        found: dict[str, Link | None] = dict.fromkeys(starts)
        waiting = deque(found)
        while waiting:
            node = waiting.popleft()
            for link in self.at_node.get(node, ()):
                far = link.second if node == link.first else link.first  # as ``link.other``, without a call: most time is spent here
                if far not in found and passes(link):
                    found[far] = link
                    waiting.append(far)
        return found

    def conductors_of(self, circuit: str) -> Link:
        """Return the link that the conductors of a circuit are."""
        return next(link for link in self.at_node[f"{circuit}.start"] if link.circuit == circuit)

    def path_back(self, found: Mapping[str, Link | None], node: str) -> list[Link]:
        """Return the links from ``node`` back to the start it was reached from, nearest first."""
        path: list[Link] = []
        link = found.get(node)
        while link is not None:
            path.append(link)
            node = link.other(node)
            link = found[node]
        return path


def closed_in(mode: OperatingMode) -> Callable[[Link], bool]:
    """Return a test that accepts the links closed in ``mode``."""
    return lambda link: mode in link.closed_in


def surely_closed_in(mode: OperatingMode) -> Callable[[Link], bool]:
    """Return a test that accepts the links that somebody says are closed in ``mode``."""
    return lambda link: mode in link.closed_in and mode not in link.unsaid_in


def perhaps_closed_in(mode: OperatingMode) -> Callable[[Link], bool]:
    """Return a test that accepts the links closed in ``mode``, and those of which nobody says that they are open."""
    return lambda link: mode in link.closed_in or mode in link.unsaid_in


def graph_of(links: Sequence[Link]) -> Graph:
    """Return the graph that some links make."""
    at_node: dict[str, list[Link]] = {}
    for link in links:
        at_node.setdefault(link.first, []).append(link)
        at_node.setdefault(link.second, []).append(link)
    return Graph(tuple(links), {node: tuple(found) for node, found in at_node.items()})
