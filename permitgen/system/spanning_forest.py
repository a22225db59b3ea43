"""What hangs together in the graph, and what lies on either side of a link, answered without walking again.

One depth-first search numbers the nodes so that whatever hangs below a link has consecutive numbers. A link that no loop goes
around (a bridge) then parts its component into two runs of numbers; taking away any other link parts nothing.
Source: R. E. Tarjan, "A Note on Finding the Bridges of a Graph", Information Processing Letters 2 (1974).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence, Set
from functools import cached_property
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.graph import Graph
    from permitgen.system.link import Link

Span = tuple[int, int]


class Region(Set[str]):
    """The nodes of a forest whose numbers lie in ``spans`` (first, one past the last); a node is looked up in constant time."""

    __slots__ = ("forest", "spans")

    def __init__(self, forest: SpanningForest, spans: tuple[Span, ...]) -> None:
        self.forest = forest
        self.spans = spans

    @classmethod
    def _from_iterable(cls, it: Iterable[str]) -> frozenset[str]:  # type: ignore[override]
        return frozenset(it)

    def __contains__(self, node: object) -> bool:
        number = self.forest.number.get(node)  # type: ignore[call-overload]
        return number is not None and any(first <= number < end for first, end in self.spans)

    def __iter__(self) -> Iterator[str]:
        return (node for first, end in self.spans for node in self.forest.order[first:end])

    def __len__(self) -> int:
        return sum(end - first for first, end in self.spans)

    def has_any(self, numbers: Sequence[int]) -> bool:
        """Whether one of the sorted node ``numbers`` lies in the region."""
        return any(bisect_left(numbers, first) < bisect_left(numbers, end) for first, end in self.spans)

    def those_of(self, numbers: Sequence[int]) -> Iterator[int]:
        """Yield the indices of the sorted node ``numbers`` that lie in the region."""
        for first, end in self.spans:
            yield from range(bisect_left(numbers, first), bisect_left(numbers, end))


class Overlay(Set[str]):
    """The nodes of several regions together; they are listed only when somebody counts or lists them."""

    def __init__(self, regions: tuple[Region, ...]) -> None:
        self.regions = regions

    @classmethod
    def _from_iterable(cls, it: Iterable[str]) -> frozenset[str]:  # type: ignore[override]
        return frozenset(it)

    @cached_property
    def _nodes(self) -> frozenset[str]:
        return frozenset[str]().union(*self.regions)

    def __contains__(self, node: object) -> bool:
        return any(node in region for region in self.regions)

    def __iter__(self) -> Iterator[str]:
        return iter(self._nodes)

    def __len__(self) -> int:
        return len(self.regions[0]) if len(self.regions) == 1 else len(self._nodes)


class SpanningForest:
    """The nodes of a graph in depth-first ``order``, over the links that ``passes`` accepts."""

    def __init__(self, graph: Graph, passes: Callable[[Link], bool]) -> None:
        self.order: list[str] = []
        self.number: dict[str, int] = {}
        self._end: list[int] = []
        self._root: list[int] = []
        self._below: dict[int, int] = {}
        self._up: list[Link | None] = []
        self._lowest: list[int] = []
        for node in graph.at_node:
            if node not in self.number:
                self._search(graph, node, passes)

    def _open(self, node: str, link: Link | None, root: int) -> int:
        number = len(self.order)
        self.number[node] = number
        self.order.append(node)
        self._end.append(number)
        self._root.append(root)
        self._up.append(link)
        self._lowest.append(number)
        return number

    def _search(self, graph: Graph, start: str, passes: Callable[[Link], bool]) -> None:
        root = len(self.order)
        waiting = [(self._open(start, None, root), iter(graph.at_node[start]))]
        while waiting:
            here, links = waiting[-1]
            link = self._next_unseen(here, links, passes)
            if link is None:
                waiting.pop()
                self._close(here, waiting[-1][0] if waiting else None)
            else:
                far = link.other(self.order[here])
                waiting.append((self._open(far, link, root), iter(graph.at_node[far])))

    def _next_unseen(self, here: int, links: Iterator[Link], passes: Callable[[Link], bool]) -> Link | None:
        """Return the next link to a node not yet numbered; a link back to a numbered one closes a loop."""
        node = self.order[here]
        for link in links:
            if link is self._up[here] or not passes(link):
                continue
            number = self.number.get(link.other(node))
            if number is None:
                return link
            self._lowest[here] = min(self._lowest[here], number)
        return None

    def _close(self, here: int, above: int | None) -> None:
        self._end[here] = len(self.order)
        link = self._up[here]
        if above is None or link is None:
            return
        self._lowest[above] = min(self._lowest[above], self._lowest[here])
        if self._lowest[here] == here:
            self._below[id(link)] = here

    def component(self, node: str) -> Region:
        """Return the nodes that hang together with ``node``."""
        root = self._root[self.number[node]]
        return Region(self, ((root, self._end[root]),))

    def components(self) -> Iterator[Region]:
        """Yield every component, in the order of its first node in the graph."""
        root = 0
        while root < len(self.order):
            yield Region(self, ((root, self._end[root]),))
            root = self._end[root]

    def region_of(self, nodes: Iterable[str]) -> Region:
        """Return some of the nodes of the forest as a region."""
        spans: list[Span] = []
        for number in sorted(self.number[node] for node in nodes):
            if spans and spans[-1][1] == number:
                spans[-1] = (spans[-1][0], number + 1)
            else:
                spans.append((number, number + 1))
        return Region(self, tuple(spans))

    def is_bridge(self, link: Link) -> bool:
        """Whether taking away ``link`` parts what it joins."""
        return id(link) in self._below

    def side(self, link: Link, node: str) -> Region:
        """Return the nodes that hang together with ``node`` when ``link`` is taken away."""
        first = self._below.get(id(link))
        number = self.number[node]
        root = self._root[number]
        if first is None or self._root[first] != root:
            return Region(self, ((root, self._end[root]),))
        end = self._end[first]
        if first <= number < end:
            return Region(self, ((first, end),))
        return Region(self, ((root, first), (end, self._end[root])))


def forest_in(graph: Graph, mode: OperatingMode | None, *, through_converters: bool = True) -> SpanningForest:
    """Return the forest over the links closed in ``mode`` (None: over all links), one for all modes that close the same links."""

    def search() -> SpanningForest:
        links = [link for link in graph.links if (mode is None or mode in link.closed_in) and (through_converters or not link.is_converter)]
        closed = frozenset(map(id, links))
        return graph.once(("forest", closed), lambda: SpanningForest(graph, lambda link: id(link) in closed))

    return graph.once(("forest", mode, through_converters), search)


def joined_with(graph: Graph, node: str, mode: OperatingMode | None, *, through_converters: bool = True) -> Set[str]:
    """Return the nodes that hang together with ``node``; itself alone where nothing is connected to it."""
    forest = forest_in(graph, mode, through_converters=through_converters)
    return forest.component(node) if node in forest.number else frozenset((node,))
