"""Which sources can feed a busbar from its load side, and what protects it from the utility's side."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.spanning_forest import forest_in, joined_with

if TYPE_CHECKING:
    from permitgen.system.busbar import Busbar
    from permitgen.system.link import Link
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class BusbarFeeds:
    """Sources on a busbar. ``supply`` is the link toward the utility; ``protected_by`` the first device on that path."""

    sources: tuple[PowerSource, ...]
    supply: Link | None
    protected_by: OvercurrentDevice | None
    protected_part: str


def supply_path(system: System, node: str, mode: OperatingMode = OperatingMode.WITH_UTILITY) -> list[Link]:
    """Return the links from ``node`` back to the utility, nearest first; empty where the utility does not reach it."""
    graph = system.graph
    found = graph.once(("from the utility", mode), lambda: graph.reach(system.utility_nodes, closed_in(mode)))
    return system.graph.path_back(found, node)


def sources_on_busbar(system: System, busbar: Busbar, mode: OperatingMode = OperatingMode.WITH_UTILITY) -> BusbarFeeds:
    """Walk the graph: with the supply link of ``busbar`` taken away, which ac sources still reach it.

    A panel's own main keeps sources away from its busbar only when they arrive from its supply side; a source on one panel
    counts on every busbar it reaches, once on each.
    """
    path = supply_path(system, busbar.node)
    supply = path[0] if path else None
    reached = _behind(system, busbar, supply, mode)
    sources = tuple(s for s in system.sources.values() if s.is_ac and s.kind != "utility" and s.node in reached)
    protecting = next((link for link in path if link.device is not None), None)
    return BusbarFeeds(sources, supply, protecting.device if protecting else None, protecting.part if protecting else "")


def _behind(system: System, busbar: Busbar, supply: Link | None, mode: OperatingMode) -> Set[str]:
    if supply is None:
        return joined_with(system.graph, busbar.node, mode)
    return forest_in(system.graph, mode).side(supply, busbar.node)
