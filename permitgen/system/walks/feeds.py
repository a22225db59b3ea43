"""What can drive current into a node in one mode: the overcurrent devices nearest to it that have a source behind them."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.spanning_forest import forest_in
from permitgen.system.walks.around_loop import branching
from permitgen.system.walks.port_currents import ends_at_input, leads_to_input

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class Feed:
    """An overcurrent device through which ``sources`` feed the node; ``link`` is where it sits."""

    link: Link
    device: OvercurrentDevice
    sources: tuple[PowerSource, ...]

    @property
    def has_utility(self) -> bool:
        """Whether the utility is among the sources."""
        return any(source.kind == "utility" for source in self.sources)


@dataclass(frozen=True, slots=True)
class Feeds:
    """All feeds of a node: through ``devices``, and ``direct`` sources that reach it without a device."""

    devices: tuple[Feed, ...]
    direct: tuple[PowerSource, ...]

    @property
    def from_utility(self) -> Feed | None:
        """The device through which the utility feeds the node, None where it does not or where no device stands between."""
        return next((feed for feed in self.devices if feed.has_utility), None)

    @property
    def sources(self) -> tuple[PowerSource, ...]:
        """Every source that feeds the node, each once."""
        found = {source.id: source for feed in self.devices for source in feed.sources} | {source.id: source for source in self.direct}
        return tuple(found.values())


@dataclass(frozen=True, slots=True)
class Border:
    """A device at the border of what hangs together without one; ``beyond`` are the nodes behind it."""

    link: Link
    device: OvercurrentDevice
    beyond: Set[str]


def border_devices(
    system: System, node: str, mode: OperatingMode | None = None, left_out: Sequence[Link] = ()
) -> tuple[frozenset[str], tuple[Border, ...]]:
    """Return the nodes joined to ``node`` without a device, and the devices that stand around them, with ``left_out`` taken away.

    Over the links closed in ``mode``, or over all. Converters are not passed.
    """
    taken = {id(link) for link in left_out}

    def is_open(link: Link) -> bool:
        return (mode is None or mode in link.closed_in) and not link.is_converter and id(link) not in taken

    graph = system.graph
    inside = frozenset(graph.reach([node], lambda link: link.device is None and is_open(link)))
    forest = forest_in(graph, mode, through_converters=False)
    # What is taken away beside the start is not behind a device that alone leads away from there.
    parts = all(link.first in inside or link.second in inside for link in left_out)
    found: dict[int, Border] = {}
    for near in sorted(inside):
        for link in graph.at_node.get(near, ()):
            far = link.other(near)
            if link.device is None or not is_open(link) or far in inside:
                continue
            beyond: Set[str]
            if parts and forest.is_bridge(link):
                beyond = forest.side(link, far)
            else:
                beyond = frozenset(
                    graph.reach([far], lambda other: is_open(other) and other.first not in inside and other.second not in inside)
                )
            found[id(link)] = Border(link, link.device, beyond)
    return inside, tuple(found.values())


def feeds_into(system: System, node: str, mode: OperatingMode, left_out: Sequence[Link]) -> Feeds:
    """Return the feeds of ``node`` in ``mode`` when the links ``left_out`` are taken away."""
    inside, border = border_devices(system, node, mode, left_out)
    sources = system.sources.values()
    feeding = [each for each in border if not leads_to_input(system, each.link, each.beyond)]
    behind = [(each, tuple(source for source in sources if source.node in each.beyond)) for each in feeding]
    devices = tuple(Feed(each.link, each.device, found) for each, found in behind if found)
    return Feeds(devices, tuple(source for source in sources if source.node in inside))


def feeds_of_circuit(system: System, circuit: str, end: str, mode: OperatingMode) -> Feeds:
    """Return what feeds the conductors of a circuit from its ``start`` or ``finish`` in ``mode``."""

    def find() -> Feeds:
        if ends_at_input(system, system.circuits[circuit], end):
            return Feeds((), ())
        conductors, near = system.graph.conductors_of(circuit), f"{circuit}.{end}"
        if forest_in(system.graph, mode, through_converters=False).is_bridge(conductors):
            return feeds_into(system, near, mode, (conductors,))
        closes_at = branching(system, conductors, conductors.other(near), mode)
        return feeds_into(system, near, mode, (conductors, *system.graph.at_node.get(closes_at, ())))

    return system.graph.once(("feeds of a circuit", circuit, end, mode), find)


def sources_reaching(system: System, node: str, without: Link, mode: OperatingMode) -> tuple[PowerSource, ...]:
    """Return the ac sources that reach ``node`` in ``mode`` when the link ``without`` is taken away."""
    reached = forest_in(system.graph, mode, through_converters=False).side(without, node)
    return tuple(source for source in system.sources.values() if source.is_ac and source.node in reached)
