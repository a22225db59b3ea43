"""Which handles separate a source from all other sources and from the loads."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from permitgen.system.walks.distribution import is_distribution

if TYPE_CHECKING:
    from permitgen.system.handle import Handle
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


def separating_handles(system: System, sources: tuple[PowerSource, ...]) -> tuple[Handle, ...]:
    """Return the handles each of which alone separates ``sources`` from every other source and from every load, the nearest first.

    A walk over all modes: what is open in one mode may close in another. An ac source is not separated from the strings and
    batteries that feed it; a string is separated only where nothing passes on through its inverter.
    """
    if not sources:
        return ()
    tags = {source.tag for source in sources}
    starts = [source.node for source in sources]
    is_ac = all(source.is_ac for source in sources)
    opening = _opening(system)
    way_out = [each for each in _on_the_way_out(system, starts) if each in opening]
    return tuple(system.handles[each] for each in way_out if _separates(system, each, starts, tags, is_ac=is_ac))


def separating_together(system: System, source: PowerSource) -> tuple[Handle, ...]:
    """Return the nearest handle on each way out of an ac source that has several (an inverter with a load port), if they separate it.

    Empty where they do not, or where something else than handles would have to open.
    """
    opening = _opening(system)
    reached = system.graph.reach([source.node], lambda link: link.handle not in opening and not link.is_converter)
    touched = dict.fromkeys(link.handle for node in reached for link in system.graph.at_node.get(node, ()) if link.handle in opening)
    return tuple(system.handles[each] for each in touched) if touched and not _joins_others(system, reached, {source.tag}) else ()


def _opening(system: System) -> frozenset[str]:
    """Return the handles that open conductors; a stop of a generator leaves them joined."""
    return frozenset(each for each, handle in system.handles.items() if handle.kind != "generator stop")


def _on_the_way_out(system: System, starts: list[str]) -> Iterable[str]:
    """Return the handles on one way to the utility, from the sources on: a handle that separates lies on every way.

    Where no way leads there, every handle, by how many connections away it is.
    """
    reached = system.graph.reach(starts, lambda _: True)
    utility = next((node for node in system.utility_nodes if node in reached), None)
    if utility is not None:
        return dict.fromkeys(link.handle for link in reversed(system.graph.path_back(reached, utility)) if link.handle)
    away = {node: len(system.graph.path_back(reached, node)) for node in reached}
    found = ((away[node], link.handle) for node in reached for link in system.graph.at_node.get(node, ()) if link.handle)
    return dict.fromkeys([handle for _, handle in sorted(found)] + list(system.handles))


def _separates(system: System, handle: str, starts: list[str], tags: set[str], *, is_ac: bool) -> bool:
    reached = system.graph.reach(starts, lambda link: link.handle != handle and not (is_ac and link.is_converter))
    if not any(link.handle == handle for node in reached for link in system.graph.at_node.get(node, ())):
        return False
    return not _joins_others(system, reached, tags)


def _joins_others(system: System, reached: Collection[str], tags: set[str]) -> bool:
    """Whether another source, a panel or a load is among the nodes reached."""
    if any(source.node in reached for source in system.sources.values() if source.tag not in tags):
        return True
    if any(bus.node in reached and is_distribution(system, system.equipment[bus.tag]) for bus in system.busbars.values()):
        return True
    items = (item for item in system.equipment.values() if item.is_utilization_equipment and item.tag not in tags)
    return any(f"{item.tag}.input" in reached for item in items)


def link_of(system: System, handle: str) -> Link | None:
    """Return the connection a handle opens, None for a handle that only controls."""
    return next((link for link in system.graph.links if link.handle == handle), None)
