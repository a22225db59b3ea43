"""Walks along direct current: which strings are joined, which inverter inputs they feed, what lies between."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.spanning_forest import joined_with

if TYPE_CHECKING:
    from collections.abc import Iterator, Set

    from permitgen.system.circuit import Circuit
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


def dc_nodes(system: System, node: str) -> frozenset[str]:
    """Return the nodes joined to ``node`` without passing a converter."""
    return frozenset(joined_with(system.graph, node, None, through_converters=False))


def strings_joined(system: System, node: str) -> tuple[PowerSource, ...]:
    """Return the strings joined to ``node``, its own among them; inputs of one inverter are not joined."""
    nodes = dc_nodes(system, node)
    return tuple(s for s in system.sources.values() if s.kind == "photovoltaic" and not s.is_ac and s.node in nodes)


def strings_joined_without_device(system: System, node: str) -> tuple[PowerSource, ...]:
    """Return the strings from which current reaches ``node`` without passing an overcurrent device."""
    nodes = system.graph.reach([node], lambda link: not link.is_converter and link.device is None)
    return tuple(s for s in system.sources.values() if s.kind == "photovoltaic" and not s.is_ac and s.node in nodes)


def storage_joined(system: System, node: str) -> tuple[PowerSource, ...]:
    """Return the dc-coupled storage joined to ``node``: a stronger source than any string."""
    return _storage_on(system, dc_nodes(system, node))


def inverters_fed(system: System, node: str) -> tuple[Inverter, ...]:
    """Return the inverters one of whose dc inputs is joined to ``node``."""
    tags = {name.split(".", maxsplit=1)[0] for name in dc_nodes(system, node)}
    return tuple(item for item in system.equipment.values() if isinstance(item, Inverter) and item.tag in tags)


def ports_fed(system: System, node: str) -> tuple[tuple[Inverter, str], ...]:
    """Return the inverter inputs joined to ``node``, each with the name of its port or terminal."""
    return tuple(inputs_on(system, dc_nodes(system, node)))


def switches_between(system: System, node: str) -> tuple[Disconnect, ...]:
    """Return the switches in enclosures of their own on the dc circuits joined to ``node``."""
    nodes = dc_nodes(system, node)
    return tuple(item for item in system.equipment.values() if isinstance(item, Disconnect) and f"{item.tag}.line" in nodes)


def circuit_at(system: System, tag: str, terminal: str) -> Circuit | None:
    """Return the circuit that lands on a terminal of a piece of equipment."""
    return next((c for c in system.circuits.values() for end in c.ends if end.tag == tag and end.terminal == terminal), None)


def dc_circuits(system: System, node: str) -> tuple[Circuit, ...]:
    """Return the circuits joined to ``node`` without passing a converter."""
    nodes = dc_nodes(system, node)
    return tuple(c for c in system.circuits.values() if f"{c.tag}.start" in nodes)


def dc_nodes_beyond(system: System, link: Link, node: str) -> frozenset[str]:
    """Return the nodes joined to ``node`` when ``link`` is taken away, without passing a converter."""
    return frozenset(system.graph.reach([node], lambda each: each is not link and not each.is_converter))


def storage_beyond(system: System, link: Link, node: str) -> tuple[PowerSource, ...]:
    """Return the dc-coupled storage joined to ``node`` when ``link`` is taken away."""
    return _storage_on(system, dc_nodes_beyond(system, link, node))


def inverters_beyond(system: System, link: Link, node: str) -> tuple[Inverter, ...]:
    """Return the inverters one of whose dc inputs is joined to ``node`` when ``link`` is taken away."""
    found = {item.tag: item for item, _ in ports_beyond(system, link, node)}
    return tuple(found.values())


def ports_beyond(system: System, link: Link, node: str) -> tuple[tuple[Inverter, str], ...]:
    """Return the inverter inputs joined to ``node`` when ``link`` is taken away, each with the name of its port or terminal."""
    return tuple(inputs_on(system, dc_nodes_beyond(system, link, node)))


def _storage_on(system: System, nodes: Set[str]) -> tuple[PowerSource, ...]:
    return tuple(s for s in system.sources.values() if s.kind == "energy storage" and not s.is_ac and s.node in nodes)


def inputs_on(system: System, nodes: Set[str]) -> Iterator[tuple[Inverter, str]]:
    """Yield the inverter inputs among ``nodes``, each with the name of its port or terminal."""
    inverters = (item for item in system.equipment.values() if isinstance(item, Inverter))
    return ((item, name) for item in inverters for name in item.dc_inputs if f"{item.tag}.{name}" in nodes)
