"""What is energized when some handles are open, interactive sources stopping with their grid.

``isolation.possibly_live`` asks what an open switch proves, and trusts no electronics; a sentence that says that something *stays live*
or *keeps feeding* asks here: it is printed only where a source that runs by itself reaches the place.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.isolation import counts_through_dc, load_nodes, service_handles
from permitgen.system.walks.live_sources import LiveStretch, ends_of
from permitgen.system.walks.stopped_sources import inverter_sources, stopped_tags

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


def energized_stretches(system: System, opened: Iterable[str]) -> tuple[LiveStretch, ...]:
    """Return what each source energizes with the handles ``opened`` open, over all modes; a source that does not run is left out.

    The utility is always there. A source that forms an island runs in the modes without the utility; an interactive one runs where one
    of these reaches it. A string or battery energizes its own conductors as long as nothing stops it, and what lies beyond its inverter
    where that runs. An inverter with strings or batteries in the file counts through them.
    """
    open_handles = frozenset(opened)
    stopped = stopped_tags(system, open_handles)
    running = [s for s in system.sources.values() if s.tag not in stopped and not counts_through_dc(system, s)]
    nodes: dict[str, set[str]] = {source.id: set() for source in running}
    for mode in system.modes:
        grid = _grid(system, mode, open_handles, stopped)
        for source in running:
            nodes[source.id].update(_energized_by(system, source, mode, open_handles, grid))
    return tuple(
        LiveStretch(source, frozenset(nodes[source.id]), ends_of(system, nodes[source.id], open_handles))
        for source in running
        if nodes[source.id]
    )


def left_by_the_service(system: System, steps: Collection[str]) -> tuple[tuple[PowerSource, ...], tuple[PowerSource, ...]]:
    """Return what the service disconnects alone leave: sources that keep feeding the house, and others whose conductors stay live.

    Of these, conductors that the ``steps`` of the shutdown leave live, too, do not count: the service disconnect lacks nothing there.
    """
    loads = frozenset(load_nodes(system))
    after_all = {stretch.source.id: stretch.nodes for stretch in energized_stretches(system, steps)}
    alone = [stretch for stretch in energized_stretches(system, service_handles(system)) if stretch.source.kind != "utility"]
    feeding = tuple(stretch.source for stretch in alone if stretch.nodes & loads)
    wires = tuple(s.source for s in alone if s.source not in feeding and s.nodes - after_all.get(s.source.id, frozenset()))
    return feeding, wires


def inverters_kept_live(system: System, stretch: LiveStretch) -> tuple[Inverter, ...]:
    """Return the inverters up to whose inputs a string or battery keeps its conductors live while they do not run."""
    items = (item for item in system.equipment.values() if isinstance(item, Inverter))
    return tuple(
        item
        for item in items
        if any(f"{item.tag}.{name}" in stretch.nodes for name in item.dc_inputs) and item.output_node not in stretch.nodes
    )


def _grid(system: System, mode: OperatingMode, opened: Collection[str], stopped: Collection[str]) -> frozenset[str]:
    """Return the nodes that carry ac in a mode: those that the utility, or a source that forms an island there, reaches."""
    forming = [s for s in system.sources.values() if s.is_ac and s.tag not in stopped and _forms(system, s, mode, opened, stopped)]
    return frozenset(
        system.graph.reach(
            [source.node for source in forming],
            lambda link: mode in link.closed_in and link.handle not in opened and not link.is_converter,
        )
    )


def _forms(system: System, source: PowerSource, mode: OperatingMode, opened: Collection[str], stopped: Collection[str]) -> bool:
    if source.kind == "utility":
        return True
    if not source.forms_island or mode is OperatingMode.WITH_UTILITY:
        return False
    item = system.equipment[source.tag]
    if not isinstance(item, Inverter) or not inverter_sources(system, item):
        return True
    fed = system.graph.reach(
        [f"{item.tag}.{name}" for name in item.dc_inputs], lambda link: not link.is_converter and link.handle not in opened
    )
    return any(not each.is_ac and each.node in fed and each.tag not in stopped for each in system.sources.values())


def _energized_by(
    system: System, source: PowerSource, mode: OperatingMode, opened: Collection[str], grid: Collection[str]
) -> Mapping[str, Link | None] | frozenset[str]:
    if source.is_ac and source.node not in grid:
        return frozenset()

    def passes(link: Link) -> bool:
        if mode not in link.closed_in or link.handle in opened:
            return False
        return not link.is_converter or (not source.is_ac and _runs(system, link, grid))

    return system.graph.reach([source.node], passes)


def _runs(system: System, link: Link, grid: Collection[str]) -> bool:
    """Whether the inverter that a converter link belongs to has ac at its output."""
    item = system.equipment.get(link.first.partition(".")[0])
    return isinstance(item, Inverter) and item.output_node in grid
