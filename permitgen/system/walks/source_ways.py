"""Which sources send current through a place on their way to the utility, where a loop leaves more than one way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.spanning_forest import forest_in

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System

_WAYS_OF_A_JOINT = 3


def sources_through(system: System, link: Link, sources: Sequence[PowerSource]) -> tuple[PowerSource, ...]:
    """Return those of ``sources`` that count at ``link`` (conductors, a relay) on their way to the utility.

    Where no loop goes around it all of them do. In a loop, as inverters in parallel between two panels make one, the output of an inverter
    with a utility port goes by that port, whose circuit is sized for it (690.8(A)(1), 705.28(A), 2017 705.60(A)); a source without a way of
    its own may go by each; and what stands where the utility meets the loop goes around none of it.
    """
    if forest_in(system.graph, OperatingMode.WITH_UTILITY, through_converters=False).is_bridge(link):
        return tuple(sources)
    on_loop = _on_loop(system, link)
    return tuple(each for each in sources if each.node in on_loop and not _goes_another_way(system, each, link))


def _goes_another_way(system: System, source: PowerSource, link: Link) -> bool:
    """Whether an inverter reaches the utility from its own utility port without ``link``."""
    item = system.equipment[source.tag]
    if not isinstance(item, Inverter) or item.output_node == item.line_node:
        return False
    if {link.first, link.second} == {item.line_node, item.output_node}:
        return False
    reached = _reach(system, [item.line_node], without=item.output_node, left_out=link)
    return any(node in reached for node in system.utility_nodes)


def _on_loop(system: System, link: Link) -> frozenset[str]:
    """Return what hangs together with ``link`` without the node at which the utility meets its loop; all, where there is no such node."""
    graph, ends = system.graph, [link.first, link.second]
    found = _reach(system, ends)
    for node, links in graph.at_node.items():
        if len(links) < _WAYS_OF_A_JOINT or node in ends:
            continue
        parted = _reach(system, ends, without=node)
        if len(parted) < len(found) and not any(each in parted for each in system.utility_nodes):
            found = parted
    return found


def _reach(system: System, starts: Sequence[str], *, without: str = "", left_out: Link | None = None) -> frozenset[str]:
    def passes(link: Link) -> bool:
        closed = OperatingMode.WITH_UTILITY in link.closed_in and not link.is_converter
        return closed and link is not left_out and without not in (link.first, link.second)

    return frozenset(system.graph.reach(starts, passes))
