"""What is possibly live after certain handles are opened, and which handles make the house dead."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.walks.distribution import is_distribution
from permitgen.system.walks.rapid_shutdown import initiators
from permitgen.system.walks.stopped_sources import inverter_sources, stopped_tags
from permitgen.system.walks.walking_order import in_walking_order

if TYPE_CHECKING:
    from permitgen.system.handle import Handle
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System

# What stops sources by itself first, the utility last, because opening the service disconnect first makes the house an island
# or starts the generator; between them the way around the house decides (``walking_order``).
_ORDER = {
    "rapid shutdown initiator": 0,
    "energy storage disconnect": 1,
    "generator stop": 2,
    "source disconnect": 3,
}
_ORDER_OF_SOURCE = {"energy storage": 1, "generator": 2, "photovoltaic": 3, "vehicle": 3, "utility": 4}
_SERVICE = 4
_WANTED = ("rapid shutdown initiator", "energy storage disconnect", "generator stop", "source disconnect")
_ALWAYS = ("rapid shutdown initiator", "generator stop")


@dataclass(frozen=True, slots=True)
class Shutdown:
    """The steps that make the load conductors dead.

    ``still_live`` lists load nodes that stay possibly live after the last step; ``stays_energized`` every other node that does
    (service conductors, the cells of a battery, an array inside its boundary).
    """

    steps: tuple[Handle, ...]
    still_live: tuple[str, ...]
    stays_energized: tuple[str, ...]


def possibly_live(system: System, opened: Iterable[str]) -> dict[str, PowerSource]:
    """Return every node that some source can still reach in some mode when the handles ``opened`` are open.

    A source is stopped when an open handle stops it by control, or takes from its array the ac that keeps it running. Modes
    are overlaid, because contactors and relays move by themselves. A source counts as live even where its inverter would stop
    by itself: that is a promise of electronics, not an open switch.
    """
    open_handles = frozenset(opened)
    live: dict[str, PowerSource] = {}
    for source in live_sources(system, open_handles):
        for mode in system.modes:
            for node in system.graph.reach([source.node], lambda link, m=mode: m in link.closed_in and link.handle not in open_handles):  # type: ignore[misc]
                live.setdefault(node, source)
    return live


def live_sources(system: System, opened: Iterable[str]) -> tuple[PowerSource, ...]:
    """Return the sources that still run with the handles ``opened`` open; an inverter counts through its strings and batteries."""
    stopped = stopped_tags(system, opened)
    return tuple(s for s in system.sources.values() if s.tag not in stopped and not counts_through_dc(system, s))


def counts_through_dc(system: System, source: PowerSource) -> bool:
    """Whether a source is an inverter whose strings and batteries are in the file: it counts through them."""
    item = system.equipment[source.tag]
    return isinstance(item, Inverter) and bool(inverter_sources(system, item))


def load_nodes(system: System) -> tuple[str, ...]:
    """Return the nodes that must be dead: busbars that feed loads, and inputs of utilization equipment.

    A vehicle that gives back keeps its own input live as long as it is plugged in. A busbar ahead of the service disconnect is
    service equipment of the utility's side: no handle of the house makes it dead.
    """
    ahead = _ahead_of_service(system)
    nodes = [bus.node for bus in system.busbars.values() if bus.node not in ahead and _feeds_loads(system, bus.tag)]
    nodes += [f"{item.tag}.input" for item in system.equipment.values() if item.is_utilization_equipment]
    own = {source.node for source in system.sources.values()}
    return tuple(node for node in nodes if node not in own)


def _feeds_loads(system: System, tag: str) -> bool:
    item = system.equipment[tag]
    return is_distribution(system, item) or item.kind == "microgrid_interconnect_device"


def busbars_ahead_of_service(system: System) -> tuple[str, ...]:
    """Return the tags of busbars that no handle of the house parts from the utility: an interconnect device in the meter socket."""
    ahead = _ahead_of_service(system)
    return tuple(bus.tag for bus in system.busbars.values() if bus.node in ahead)


def _ahead_of_service(system: System) -> frozenset[str]:
    return frozenset(system.graph.reach(system.utility_nodes, lambda link: not link.handle))


def service_handles(system: System) -> tuple[str, ...]:
    """Return the handles of the service disconnecting means: the first ones on each path from the utility."""
    reached = _ahead_of_service(system)
    # The breaker of a neutral-forming autotransformer disconnects nothing but the autotransformer.
    links = [link for node in reached for link in system.graph.at_node.get(node, ()) if "autotransformer" not in link.part]
    found = [link.handle for link in links if link.handle]
    order = {link.handle: index for index, link in enumerate(system.graph.links) if link.handle}
    return tuple(sorted(dict.fromkeys(found), key=lambda handle: order[handle]))


def shutdown_steps(system: System) -> Shutdown:
    """Choose the handles of the placard and check by reachability that no load conductor stays possibly live.

    Candidates are initiators, storage disconnects, generator stops, source disconnects and the service disconnects. A step that
    changes nothing is left out; where a source still reaches a load, the first handle on its way is added.
    """
    wanted = [handle for handle in system.handles.values() if handle.kind in _WANTED or handle.id in _initiating(system)]
    wanted += [system.handles[handle] for handle in service_handles(system) if handle in system.handles]
    steps = _needed(system, list(dict.fromkeys(wanted)))
    steps += _further(system, steps)
    steps = in_walking_order(system, sorted(steps, key=lambda handle: _order(system, handle)), lambda handle: _rank(system, handle))
    live = possibly_live(system, (handle.id for handle in steps))
    loads = load_nodes(system)
    return Shutdown(
        steps=tuple(steps),
        still_live=tuple(node for node in loads if node in live),
        stays_energized=tuple(sorted(node for node in live if node not in loads)),
    )


def _rank(system: System, handle: Handle) -> int:
    """Return what must come first: what starts a shutdown that takes its time, and last the service, which would start an island."""
    if handle.id in service_handles(system):
        return 2
    return 0 if handle.kind == "rapid shutdown initiator" else 1


def _order(system: System, handle: Handle) -> int:
    """Return the place of a handle in the order of work; a breaker takes that of the source it cuts off."""
    if handle.id in service_handles(system):
        return _SERVICE
    if handle.kind in _ORDER:
        return _ORDER[handle.kind]
    return min((_ORDER_OF_SOURCE[s.kind] for s in _sources_cut_off(system, handle.id)), default=_SERVICE)


def _sources_cut_off(system: System, handle: str) -> tuple[PowerSource, ...]:
    reached = system.graph.reach(load_nodes(system), lambda link: link.handle != handle)
    return tuple(s for s in system.sources.values() if s.node not in reached)


def _needed(system: System, candidates: list[Handle]) -> list[Handle]:
    """Keep the handles without which more stays live than with all of them; initiators, stops and the loads' service disconnects stay."""
    kept = sorted(candidates, key=lambda handle: (_order(system, handle), not _is_outdoors(handle)))
    always = {handle for handle in service_handles(system) if has_loads_beyond(system, handle)} | _initiating(system)
    loads = frozenset(load_nodes(system))
    least = loads & set(possibly_live(system, (handle.id for handle in kept)))
    for handle in reversed(list(kept)):
        if handle.kind in _ALWAYS or handle.id in always:
            continue
        fewer = [h.id for h in kept if h is not handle]
        if loads & set(possibly_live(system, fewer)) <= least:
            kept.remove(handle)
    return kept


def _initiating(system: System) -> set[str]:
    """Return the handles of disconnects in the role of rapid shutdown initiator."""
    return {initiator.handle for initiator in initiators(system) if not initiator.by_control and initiator.handle in system.handles}


def has_loads_beyond(system: System, handle: str) -> bool:
    """Whether a service disconnect is that of loads; the disconnect of a source on the supply side has only the source beyond it."""
    ahead = _ahead_of_service(system)
    far = [link.second if link.first in ahead else link.first for link in system.graph.links if link.handle == handle]
    reached = system.graph.reach(far, lambda link: link.handle != handle)
    return any(node in reached for node in load_nodes(system))


def _is_outdoors(handle: Handle) -> bool:
    return handle.place is not None and bool(handle.place.outdoors)


def _further(system: System, steps: list[Handle]) -> list[Handle]:
    """Return the breakers and switches that cut off what the steps leave live: on a source's way to a load the one that cuts off most."""
    found: list[Handle] = []
    loads = load_nodes(system)
    while True:
        opened = frozenset(handle.id for handle in (*steps, *found))
        live = possibly_live(system, opened)
        ways = (_handles_on_way(system, live[node], node, opened) for node in loads if node in live)
        way = next((way for way in ways if way), None)
        if way is None:
            return found
        found.append(min(way, key=lambda handle: _sources_left(system, opened | {handle.id}, loads)))


def _sources_left(system: System, opened: frozenset[str], loads: tuple[str, ...]) -> int:
    """Return how many sources still reach a load with the handles ``opened`` open."""
    return sum(_reaches(system, source, opened, loads) for source in live_sources(system, opened))


def _reaches(system: System, source: PowerSource, opened: frozenset[str], loads: tuple[str, ...]) -> bool:
    for mode in system.modes:
        reached = system.graph.reach([source.node], lambda link, m=mode: m in link.closed_in and link.handle not in opened)  # type: ignore[misc]
        if any(node in reached for node in loads):
            return True
    return False


def _handles_on_way(system: System, source: PowerSource, node: str, opened: frozenset[str]) -> list[Handle]:
    """Return the handles on the way from a source to a load in the first mode in which it is reached, the source's end first."""
    for mode in system.modes:
        reached = system.graph.reach([source.node], lambda link, m=mode: m in link.closed_in and link.handle not in opened)  # type: ignore[misc]
        if node in reached:
            way = reversed(system.graph.path_back(reached, node))
            return [system.handles[link.handle] for link in way if link.handle in system.handles]
    return []
