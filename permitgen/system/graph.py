"""The graph of nodes and links, and the one walk that everything else is made of."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, TypeVar, cast

from permitgen.system.circuit import End
from permitgen.system.interlock import obeying
from permitgen.system.link import Link

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.interlock import Interlock
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.overcurrent_device import OvercurrentDevice


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
                far = link.other(node)
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


def build_graph(equipment: Mapping[str, Equipment], circuits: Mapping[str, Circuit], interlocks: Sequence[Interlock] = ()) -> Graph:
    """Join the inner links of all equipment with the conductors and end devices of all circuits; interlocks open what they do."""
    links: list[Link] = []
    landed = _devices_at_source_terminals(equipment, circuits)
    for item in equipment.values():
        links.extend(item.links(landed.get(item.tag, {})))
    for circuit in circuits.values():
        links.extend(_links_of_circuit(equipment, circuit))
    for item in equipment.values():
        links.extend(_further_devices(item))
    links = _each_called_once(links)
    if interlocks:
        links = obeying(links, interlocks, [source for item in equipment.values() for source in item.sources()])
    at_node: dict[str, list[Link]] = {}
    for link in links:
        at_node.setdefault(link.first, []).append(link)
        at_node.setdefault(link.second, []).append(link)
    return Graph(tuple(links), {node: tuple(found) for node, found in at_node.items()})


def _further_devices(item: Equipment) -> Iterator[Link]:
    """The devices of a directory whose circuits the file does not hold: each from the busbar to a node behind which nothing is known."""
    for each in item.directory.further if item.directory is not None else ():
        end = End(item.tag, position=each.spaces[0])
        name = str(end)
        yield Link(first=item.node_of(end), second=f"{name}.load", part=name, device=each.device, handle=name, closed_in=item.modes_of(end))


def _each_called_once(links: Sequence[Link]) -> list[Link]:
    """Two half-size breakers share a space and would share its number: the second is called ``MSP.5b``."""
    found: dict[str, int] = {}
    named = []
    for link in links:
        before = found.get(link.handle, 0)
        if link.device is not None and link.device.position is not None:
            found[link.handle] = before + 1
        named.append(replace(link, handle=f"{link.handle}{chr(ord('a') + before)}") if before and link.handle else link)
    return named


def _lands_on_source_terminal(item: Equipment, end: End) -> bool:
    terminal = item.terminals.get(end.terminal) if end.terminal else None
    return terminal is not None and bool(terminal.accepts)


def _devices_at_source_terminals(
    equipment: Mapping[str, Equipment], circuits: Mapping[str, Circuit]
) -> dict[str, dict[str, OvercurrentDevice | None]]:
    landed: dict[str, dict[str, OvercurrentDevice | None]] = {}
    for circuit in circuits.values():
        for end, device in ((circuit.start, circuit.start_device), (circuit.finish, circuit.finish_device)):
            item = equipment.get(end.tag)
            if item is not None and device is not None and _lands_on_source_terminal(item, end):
                landed.setdefault(end.tag, {})[end.terminal] = device
    return landed


def _links_of_circuit(equipment: Mapping[str, Equipment], circuit: Circuit) -> list[Link]:
    tag = circuit.tag
    neutral = bool(circuit.conductors.neutral)
    links = [Link(first=f"{tag}.start", second=f"{tag}.finish", part=tag, circuit=tag, carries_neutral=neutral)]
    for end, device, side in ((circuit.start, circuit.start_device, "start"), (circuit.finish, circuit.finish_device, "finish")):
        item = equipment[end.tag]
        here = None if _lands_on_source_terminal(item, end) else device
        handle = f"{end.tag}.{end.position}" if here is not None and end.position is not None else ""
        if here is not None and not handle:
            handle = f"{tag}.{side}"
        links.append(
            Link(
                first=item.node_of(end),
                second=f"{tag}.{side}",
                part=f"{tag} at {end}",
                device=here,
                handle=handle,
                closed_in=item.modes_of(end),
                carries_neutral=neutral,
            )
        )
    return links
