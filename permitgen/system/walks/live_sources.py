"""Which sources still reach which nodes when some handles are open, and where what stays live ends."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.stopped_sources import stopped_tags

if TYPE_CHECKING:
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class LiveStretch:
    """Conductors that ``source`` keeps live; ``ends_at`` are the open handles at which they end."""

    source: PowerSource
    nodes: frozenset[str]
    ends_at: tuple[str, ...]


def stopped_by(system: System, opened: Iterable[str]) -> frozenset[str]:
    """Return the tags of the sources that the open handles stop, by control or by taking ac away from an array."""
    return stopped_tags(system, opened)


def live_stretches(system: System, opened: Iterable[str]) -> tuple[LiveStretch, ...]:
    """Return what each source that is not stopped keeps live, over all modes, with the handles ``opened`` open."""
    open_handles = frozenset(opened)
    stopped = stopped_by(system, open_handles)
    found = []
    for source in system.sources.values():
        if source.tag in stopped:
            continue
        nodes = _reached(system, source, open_handles)
        found.append(LiveStretch(source, nodes, ends_of(system, nodes, open_handles)))
    return tuple(found)


def ends_of(system: System, nodes: Collection[str], open_handles: Collection[str]) -> tuple[str, ...]:
    """Return the open handles at which conductors end."""
    ends = {link.handle: None for node in sorted(nodes) for link in system.graph.at_node.get(node, ()) if link.handle in open_handles}
    return tuple(ends)


def _reached(system: System, source: PowerSource, open_handles: frozenset[str]) -> frozenset[str]:
    """Overlay the modes, because contactors and relays move by themselves."""
    nodes: set[str] = {source.node}
    for mode in system.modes:
        nodes.update(system.graph.reach([source.node], lambda link, m=mode: m in link.closed_in and link.handle not in open_handles))  # type: ignore[misc]
    return frozenset(nodes)


def sources_reaching(system: System, opened: Iterable[str], nodes: Collection[str]) -> tuple[PowerSource, ...]:
    """Return the sources that can still reach one of ``nodes`` with the handles ``opened`` open."""
    wanted = frozenset(nodes)
    return tuple(stretch.source for stretch in live_stretches(system, opened) if stretch.nodes & wanted)


def island_sources_reaching(system: System, nodes: Collection[str], without: Collection[str] = ()) -> tuple[PowerSource, ...]:
    """Return the sources that reach one of ``nodes`` while the utility is away; those with a tag in ``without`` do not run.

    An interactive source runs only where one that forms the island reaches it in the same mode.
    """
    found: dict[str, PowerSource] = {}
    running = [source for source in system.sources.values() if source.tag not in without]
    for mode in system.modes:
        if mode is OperatingMode.WITH_UTILITY:
            continue
        reached = system.graph.reach(nodes, closed_in(mode))
        formed = system.graph.reach([source.node for source in running if source.forms_island], closed_in(mode))
        here = [source for source in running if source.node in reached and source.node in formed]
        found.update((source.id, source) for source in here if source.kind != "utility")
    return tuple(source for source in system.sources.values() if source.id in found)
