"""The graph of an installation: what its equipment joins inside, the conductors of its circuits, what its interlocks hold open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.system.circuit import End
from permitgen.system.graph import Graph, graph_of
from permitgen.system.interlock import obeying
from permitgen.system.link import Link

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.interlock import Interlock
    from permitgen.system.overcurrent_device import OvercurrentDevice


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
    return graph_of(links)


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
