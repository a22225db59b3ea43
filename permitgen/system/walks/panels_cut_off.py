"""Which panels, or which machines ahead of the main, lose the utility when one of several service disconnects is opened."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.isolation import load_nodes

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.system import System


def panels_cut_off(system: System, opened: Sequence[str]) -> tuple[str, ...]:
    """Return the panels that lose the utility by the last of the service disconnects ``opened``, those behind another of them left out.

    Empty where one handle cuts off all of them: then there is nothing to tell apart.
    """
    whole, before, after = (_fed_by_utility(system, handles) for handles in ((), opened[:-1], opened))
    loads = frozenset(load_nodes(system))
    busbars = [bus for bus in system.busbars.values() if bus.node in loads and bus.node in whole]
    lost = [bus for bus in busbars if bus.node in before and bus.node not in after]
    if len(lost) in (0, len(busbars)):
        return ()
    nodes = {bus.node for bus in lost}
    ways = {bus.tag: system.graph.path_back(before, bus.node) for bus in lost}
    return tuple(tag for tag, way in ways.items() if sum(node in nodes for link in way for node in (link.first, link.second)) <= 1)


def machines_cut_off(system: System, opened: Sequence[str]) -> tuple[str, ...]:
    """Return the inverters, batteries and other ac sources at whose terminals the utility is gone by the last of the handles ``opened``."""
    before, after = (_fed_by_utility(system, handles) for handles in (opened[:-1], opened))
    sources = (source for source in system.sources.values() if source.is_ac and source.kind != "utility")
    return tuple(dict.fromkeys(source.tag for source in sources if source.node in before and source.node not in after))


def _fed_by_utility(system: System, opened: Sequence[str]) -> dict[str, Link | None]:
    mode = OperatingMode.WITH_UTILITY
    return system.graph.reach(system.utility_nodes, lambda link: mode in link.closed_in and link.handle not in opened)
