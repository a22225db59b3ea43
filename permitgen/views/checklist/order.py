"""The order of the field checklist, computed: which line must come before which is data with a reason each (``order.yaml``).

Sections are sorted by what their lines demand, then the blocks of each section. An order that cannot be kept is a fault of this program and
ends it: an unsafe order is never printed.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, TypeVar

import yaml

T = TypeVar("T")

SCOPES = ("house", "enclosure", "circuit")


class UnsafeOrderError(RuntimeError):
    """The pairs demand that something comes before itself."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Checks that come first and checks that come after them, between lines of the same ``scope``, and why."""

    first: tuple[str, ...]
    then: tuple[str, ...]
    scope: str
    why: str


@dataclass(frozen=True, slots=True)
class Placed:
    """A line as the order sees it: its id, what it checks (coarse, then finer), the enclosure and the circuit it is of."""

    id: str
    checks: frozenset[str]
    enclosure: str
    circuit: str

    def scope(self, name: str) -> str:
        """Return what must be the same for a pair of that scope; empty where it is of none."""
        return {"house": "house", "enclosure": self.enclosure, "circuit": self.circuit}[name]


@cache
def order_pairs() -> tuple[Pair, ...]:
    """Return the pairs in file order."""
    read: list[dict[str, Any]] = yaml.safe_load(files("permitgen.views.checklist").joinpath("order.yaml").read_text("utf-8"))
    return tuple(Pair(tuple(row["first"]), tuple(row["then"]), row["at"], row["why"]) for row in read)


def demanded(lines: Sequence[Placed], pairs: Sequence[Pair]) -> list[tuple[Placed, Placed, Pair]]:
    """Return every two lines of which a pair says that the first comes before the second."""
    found = []
    for pair in pairs:
        later: dict[str, list[Placed]] = {}
        for line in lines:
            if line.checks & set(pair.then) and line.scope(pair.scope):
                later.setdefault(line.scope(pair.scope), []).append(line)
        for line in lines:
            if line.checks & set(pair.first):
                found += [(line, other, pair) for other in later.get(line.scope(pair.scope), ()) if other is not line]
    return found


def in_order(things: Sequence[T], edges: Iterable[tuple[int, int]], name: Callable[[T], str]) -> list[T]:
    """Return ``things`` so that each edge (index before, index after) is kept, else in the order given.

    Raises:
        UnsafeOrderError: the edges lead in a circle; it names what stands in it.
    """
    after: dict[int, set[int]] = {index: set() for index in range(len(things))}
    for first, then in edges:
        if first != then:
            after[then].add(first)
    done: list[int] = []
    waiting = list(range(len(things)))
    while waiting:
        ready = next((index for index in waiting if not after[index] - set(done)), None)
        if ready is None:
            raise UnsafeOrderError(
                f"no safe order of the checklist: each of these would have to come first: {', '.join(name(things[i]) for i in waiting)}"
            )
        waiting.remove(ready)
        done.append(ready)
    return [things[index] for index in done]


def edges_between(places: Mapping[str, Hashable], found: Iterable[tuple[Placed, Placed, Pair]]) -> set[tuple[Hashable, Hashable]]:
    """Return which places (of line ids) come before which."""
    pairs = ((places.get(first.id), places.get(then.id)) for first, then, _ in found)
    return {(one, other) for one, other in pairs if one is not None and other is not None and one != other}


def reasons_of(found: Iterable[tuple[Placed, Placed, Pair]]) -> dict[str, tuple[str, ...]]:
    """Return, for each line, why it stands where it stands."""
    reasons: dict[str, dict[str, None]] = {}
    for first, then, pair in found:
        for line in (first, then):
            reasons.setdefault(line.id, {})[pair.why] = None
    return {line: tuple(why) for line, why in reasons.items()}
