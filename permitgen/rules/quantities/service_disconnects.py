"""Which handles disconnect the service, what lies ahead of them, and which service conductors end there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.circuit_current import role
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.equipment.meter_main import MeterMain
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.spanning_forest import forest_in
from permitgen.system.walks.behind import nodes_behind
from permitgen.system.walks.circuit_sides import CircuitRole, side_beyond
from permitgen.system.walks.dwelling_load import load_places, service_disconnects_beyond

if TYPE_CHECKING:
    from collections.abc import Collection

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.walks.feeds import Border
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class ServiceDisconnect:
    """A first disconnecting means on a path from the utility.

    ``enclosure`` is a tag; ``rating_a`` the rating of its overcurrent device, of an unfused switch its own; ``feeds_loads`` is False
    for the disconnect of a power source that is connected on the supply side; ``sources`` are the ac sources beyond it.
    """

    enclosure: str
    handle: str
    link: Link
    rating_a: Value | None
    feeds_loads: bool
    sources: tuple[PowerSource, ...] = ()


@dataclass(frozen=True, slots=True)
class ServiceSide:
    """``ahead`` are the nodes between the service points and the disconnects."""

    disconnects: tuple[ServiceDisconnect, ...]
    ahead: frozenset[str]

    @property
    def of_loads(self) -> tuple[ServiceDisconnect, ...]:
        """The service disconnects proper."""
        return tuple(d for d in self.disconnects if d.feeds_loads)

    @property
    def of_sources(self) -> tuple[ServiceDisconnect, ...]:
        """The disconnects of sources connected on the supply side."""
        return tuple(d for d in self.disconnects if not d.feeds_loads)

    @property
    def enclosures(self) -> tuple[str, ...]:
        """Tags of the enclosures that hold the service disconnects proper."""
        return tuple(dict.fromkeys(d.enclosure for d in self.of_loads))


def service_side(given: Given) -> ServiceSide:
    """Return the service disconnects, remembered. An emergency or meter disconnect that is not service equipment is passed through."""
    return given.once_for_topology("service side", lambda: _find(given))


def serving_disconnects(given: Given, *circuits: Circuit) -> tuple[Border, ...]:
    """Return the service disconnects beyond service conductors, seen from the utility; those that only bring sources add no load.

    A breaker of a panel without a main whose load the file tells by its space alone serves that load.
    """
    beyond = [each for circuit in circuits for each in service_disconnects_beyond(given.system, circuit.tag)]
    found = {id(each.link): each for each in beyond if not _of_autotransformer(each.link)}
    places = load_places(given.system)
    sources = {source.node for source in given.system.sources.values() if source.is_ac}
    serving = tuple(each for each in found.values() if each.beyond & places or not each.beyond & sources)
    return serving or tuple(found.values())


def _find(given: Given) -> ServiceSide:
    graph = given.system.graph
    ahead = graph.reach(given.system.utility_nodes, lambda link: OperatingMode.WITH_UTILITY in link.closed_in and _passes(given, link))
    links = [link for node in ahead for link in graph.at_node.get(node, ()) if not _passes(given, link)]
    found = {link.handle: link for link in links if not _of_autotransformer(link)}
    return ServiceSide(tuple(_disconnect(given, link, frozenset(ahead), frozenset(found)) for link in found.values()), frozenset(ahead))


def _of_autotransformer(link: Link) -> bool:
    """The breaker of a neutral-forming autotransformer disconnects nothing but the autotransformer."""
    return "autotransformer" in link.part


def _passes(given: Given, link: Link) -> bool:
    if not link.handle:
        return True
    item = given.system.equipment.get(given.system.handles[link.handle].tag)
    return isinstance(item, Disconnect) and item.purpose == "emergency" and "service equipment" not in item.roles


def _disconnect(given: Given, link: Link, ahead: frozenset[str], first: frozenset[str]) -> ServiceDisconnect:
    system = given.system
    tag = system.handles[link.handle].tag
    item = system.equipment[tag]
    beyond = link.second if link.first in ahead else link.first
    rating = link.device.rating_a if link.device is not None else getattr(item, "rating_a", None)
    has_loads, sources = _beyond(given, link, beyond, first)
    feeding = tuple(s for s in sources if s.is_ac and s.kind != "utility")
    return ServiceDisconnect(tag, link.handle, link, rating, has_loads or not sources, feeding)


def _beyond(given: Given, link: Link, node: str, first: frozenset[str]) -> tuple[bool, tuple[PowerSource, ...]]:
    """Return whether a first disconnect leads to loads, and the sources there.

    Where another one leads to the same place, what lies beyond it on the utility's side is not beyond this one.
    """
    system, mode = given.system, OperatingMode.WITH_UTILITY
    if forest_in(system.graph, mode).is_bridge(link):
        side = side_beyond(system, link, node, mode)
        return side.has_loads, side.sources
    reached = system.graph.reach([node], lambda other: mode in other.closed_in and other.handle not in first)
    return not load_places(system).isdisjoint(reached), tuple(s for s in system.sources.values() if s.node in reached)


def reached_from(given: Given, service: str) -> frozenset[str]:
    """Return the nodes that one service point reaches with the utility."""
    start = [f"{service}.service_point"]
    return frozenset(given.system.graph.reach(start, lambda link: OperatingMode.WITH_UTILITY in link.closed_in))


def disconnects_of(given: Given, service: str) -> tuple[ServiceDisconnect, ...]:
    """Return the service disconnects proper of one service point."""
    reached = reached_from(given, service)
    return tuple(found for found in service_side(given).of_loads if {found.link.first, found.link.second} & reached)


def enclosures_of(given: Given, service: str) -> tuple[str, ...]:
    """Return the tags of the enclosures that hold the service disconnects proper of one service point."""
    return tuple(dict.fromkeys(found.enclosure for found in disconnects_of(given, service)))


def nodes_beyond(given: Given, disconnects: Collection[ServiceDisconnect]) -> frozenset[str]:
    """Return the nodes that the utility reaches through service disconnects, those behind inverters and transformers left out."""
    ahead, graph = service_side(given).ahead, given.system.graph
    handles = {found.handle for found in disconnects}
    starts = [node for link in graph.links if link.handle in handles for node in (link.first, link.second) if node not in ahead]
    return frozenset(
        graph.reach(
            starts,
            lambda link: OperatingMode.WITH_UTILITY in link.closed_in and not link.is_converter and link.handle not in handles,
        )
    )


def loads_beyond(given: Given, disconnects: Collection[ServiceDisconnect]) -> tuple[str, ...]:
    """Return the panels and the equipment with loads that service disconnects feed, those behind another of them left out."""
    beyond = nodes_beyond(given, disconnects)
    tags = sorted({node.split(".", maxsplit=1)[0] for node in load_places(given.system) & beyond})
    behind = {tag: nodes_behind(given.system, tag) for tag in tags}
    return tuple(tag for tag in tags if not any(behind[tag] < behind[other] for other in tags))


def service_circuits(given: Given) -> tuple[Circuit, ...]:
    """Return the circuits whose conductors are service conductors, in file order."""
    circuits = given.system.circuits
    tags = given.once_for_topology(
        "service circuits", lambda: tuple(tag for tag, circuit in circuits.items() if role(given, circuit) is CircuitRole.SERVICE)
    )
    return tuple(circuits[tag] for tag in tags)


def circuits_landing_at(given: Given, enclosure: str) -> tuple[Circuit, ...]:
    """Return the service conductors that end at an enclosure."""
    return tuple(c for c in service_circuits(given) if enclosure in (c.start.tag, c.finish.tag))


def has_separate_compartments(given: Given, tag: str) -> bool:
    """Whether each service disconnect in an enclosure has a compartment of its own; the breakers on one busbar have none.

    Raises:
        MissingFactError: a meter-main does not say.
    """
    item = given.system.equipment[tag]
    if not isinstance(item, MeterMain):
        return False
    return given.need(item.answer("separate_compartments"), f"whether the mains of {tag} stand in compartments of their own")
