"""What is possibly live after certain handles are opened, and which handles make the house dead and part its sources from the utility."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.walks.live_sources import live_stretches, sources_reaching
from permitgen.system.walks.rapid_shutdown import initiators
from permitgen.system.walks.sources_only import is_distribution
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
    """The steps that make the load conductors dead and part every source from the utility.

    ``still_live`` lists load nodes that stay possibly live after the last step; ``still_on_utility`` sources that no step stops or parts
    from the utility; ``stays_energized`` every other node that stays live (service conductors, the cells of a battery, an array inside
    its boundary).
    """

    steps: tuple[Handle, ...]
    still_live: tuple[str, ...]
    still_on_utility: tuple[PowerSource, ...]
    stays_energized: tuple[str, ...]

    @property
    def suffices(self) -> bool:
        """Whether there are steps, and they leave no load live and no source on the utility."""
        return bool(self.steps) and not self.still_live and not self.still_on_utility


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


def sources_on_utility(system: System, opened: Iterable[str]) -> tuple[PowerSource, ...]:
    """Return the sources that nothing stops and no open switch parts from the utility; an inverter counts through what feeds it.

    One that is tapped ahead of the service disconnect reaches no load once that is open, and goes on exporting.
    """
    found = sources_reaching(system, opened, system.utility_nodes)
    return tuple(source for source in found if source.kind != "utility" and not counts_through_dc(system, source))


def left_running(system: System, opened: Iterable[str]) -> tuple[PowerSource, ...]:
    """Return the sources that some steps leave: the utility where it reaches a load, others where they reach a load or the utility."""
    loads = frozenset(load_nodes(system))
    anywhere = loads | set(system.utility_nodes)
    return tuple(
        stretch.source
        for stretch in live_stretches(system, opened)
        if stretch.nodes & (loads if stretch.source.kind == "utility" else anywhere)
    )


def counts_through_dc(system: System, source: PowerSource) -> bool:
    """Whether a source is an inverter whose strings and batteries are in the file: it counts through them."""
    item = system.equipment[source.tag]
    return isinstance(item, Inverter) and bool(inverter_sources(system, item))


def load_nodes(system: System) -> tuple[str, ...]:
    """Return the nodes that must be dead: busbars that feed loads, and inputs of utilization equipment.

    A vehicle that gives back keeps its own input live as long as it is plugged in. A busbar ahead of the service disconnect is
    service equipment of the utility's side: no handle of the house makes it dead, and what its breakers serve begins behind each of them.
    """
    ahead = _ahead_of_service(system)
    nodes = [bus.node for bus in system.busbars.values() if bus.node not in ahead and _feeds_loads(system, bus.tag)]
    nodes += [node for bus in system.busbars.values() if bus.node in ahead for node in _served_from(system, bus.tag)]
    nodes += [f"{item.tag}.input" for item in system.equipment.values() if item.is_utilization_equipment]
    own = {source.node for source in system.sources.values()}
    return tuple(node for node in nodes if node not in own)


def _served_from(system: System, tag: str) -> Iterator[str]:
    """Yield the nodes behind the breakers of a panel whose circuits the file does not hold; behind a spare nothing is served."""
    directory = system.equipment[tag].directory
    in_use = {id(each.device) for each in directory.further if not each.is_spare} if directory is not None else set()
    yield from (each.nodes[1] for each in system.devices.values() if each.enclosure == tag and id(each.device) in in_use)


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
    changes nothing is left out; where a source still reaches a load or the utility, the handle on its way that cuts off most is added.
    """
    wanted = [handle for handle in system.handles.values() if handle.kind in _WANTED or handle.id in _initiating(system)]
    wanted += [system.handles[handle] for handle in service_handles(system) if handle in system.handles]
    steps = _needed(system, list(dict.fromkeys(wanted)))
    steps += _further(system, steps)
    steps = in_walking_order(system, sorted(steps, key=lambda handle: _order(system, handle)), lambda handle: _rank(system, handle))
    opened = [handle.id for handle in steps]
    live = possibly_live(system, opened)
    loads = load_nodes(system)
    return Shutdown(
        steps=tuple(steps),
        still_live=tuple(node for node in loads if node in live),
        still_on_utility=sources_on_utility(system, opened),
        stays_energized=tuple(sorted(node for node in live if node not in loads)),
    )


def steps_for(system: System, shutdown: Shutdown, nodes: Collection[str]) -> tuple[Handle, ...]:
    """Return the steps of a shutdown that ``nodes`` need, in their order; none where all of them leave a node possibly live.

    A step without which the nodes are dead all the same is left out, the last ones first.
    """

    def are_dead(handles: list[Handle]) -> bool:
        live = possibly_live(system, [handle.id for handle in handles])
        return not any(node in live for node in nodes)

    steps = list(shutdown.steps)
    if not are_dead(steps):
        return ()
    for handle in reversed(shutdown.steps):
        fewer = [each for each in steps if each is not handle]
        if are_dead(fewer):
            steps = fewer
    return tuple(steps)


def steps_that_end(system: System, shutdown: Shutdown, kind: str) -> tuple[Handle, ...]:
    """Return the steps of a shutdown without which more sources of a kind run, or are joined to loads or the utility, than after all."""

    def left(handles: list[Handle]) -> frozenset[str]:
        running = left_running(system, [handle.id for handle in handles])
        return frozenset(source.id for source in running if source.kind == kind)

    steps = list(shutdown.steps)
    least = left(steps)
    for handle in reversed(shutdown.steps):
        fewer = [each for each in steps if each is not handle]
        if left(fewer) <= least:
            steps = fewer
    return tuple(steps)


def _rank(system: System, handle: Handle) -> int:
    """Return what must come first: what starts a shutdown that takes its time, and last the service, which would start an island."""
    if handle.id in service_handles(system) and has_loads_beyond(system, handle.id):
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
    """Keep the handles without which more stays live than with all of them; initiators, stops and service disconnects stay.

    The disconnect of a source ahead of the main is one of them: while it is closed the utility keeps the wires of the inverter live.
    """
    kept = sorted(candidates, key=lambda handle: (_order(system, handle), not _is_outdoors(handle)))
    always = {handle for handle in service_handles(system) if serves_something(system, handle)} | _initiating(system)
    least = _left(system, [handle.id for handle in kept])
    for handle in reversed(list(kept)):
        if handle.kind in _ALWAYS or handle.id in always:
            continue
        if _left(system, [h.id for h in kept if h is not handle]) <= least:
            kept.remove(handle)
    return kept


def _left(system: System, opened: list[str]) -> frozenset[str]:
    """Return what steps leave undone: load nodes that are possibly live, and the nodes of sources that are still on the utility."""
    live = possibly_live(system, opened)
    return frozenset({node for node in load_nodes(system) if node in live} | {s.node for s in sources_on_utility(system, opened)})


def _initiating(system: System) -> set[str]:
    """Return the handles of disconnects in the role of rapid shutdown initiator."""
    return {initiator.handle for initiator in initiators(system) if not initiator.by_control and initiator.handle in system.handles}


def serves_something(system: System, handle: str) -> bool:
    """Whether loads or a source lie beyond a service disconnect; behind a spare breaker there is neither."""
    return bool(_reached_beyond(system, handle) & {*load_nodes(system), *(source.node for source in system.sources.values())})


def has_loads_beyond(system: System, handle: str) -> bool:
    """Whether a service disconnect is that of loads; the disconnect of a source on the supply side has only the source beyond it."""
    return not _reached_beyond(system, handle).isdisjoint(load_nodes(system))


def _reached_beyond(system: System, handle: str) -> Set[str]:
    ahead = _ahead_of_service(system)
    far = [link.second if link.first in ahead else link.first for link in system.graph.links if link.handle == handle]
    return system.graph.reach(far, lambda link: link.handle != handle).keys()


def _is_outdoors(handle: Handle) -> bool:
    return handle.place is not None and bool(handle.place.outdoors)


def _further(system: System, steps: list[Handle]) -> list[Handle]:
    """Return the breakers and switches that cut off what the steps leave: on a source's way to a load or the utility what cuts off most."""
    found: list[Handle] = []
    while True:
        opened = frozenset(handle.id for handle in (*steps, *found))
        way = next((way for source, node in _ways_left(system, opened) if (way := _handles_on_way(system, source, node, opened))), None)
        if way is None:
            return found
        found.append(min(way, key=lambda handle: _count_left(system, opened | {handle.id})))


def _count_left(system: System, opened: frozenset[str]) -> int:
    """Return how many sources are left with the handles ``opened`` open, an inverter with strings or batteries through these."""
    return sum(not counts_through_dc(system, source) for source in left_running(system, opened))


def _ways_left(system: System, opened: frozenset[str]) -> list[tuple[PowerSource, str]]:
    """Return what is still joined: each live load with a source that reaches it, each source on the utility with that."""
    live = possibly_live(system, opened)
    ways = [(live[node], node) for node in load_nodes(system) if node in live]
    return ways + [(source, node) for source in sources_on_utility(system, opened) for node in system.utility_nodes]


def _handles_on_way(system: System, source: PowerSource, node: str, opened: frozenset[str]) -> list[Handle]:
    """Return the handles on the way from a source to a node in the first mode in which it is reached, the source's end first."""
    for mode in system.modes:
        reached = system.graph.reach([source.node], lambda link, m=mode: m in link.closed_in and link.handle not in opened)  # type: ignore[misc]
        if node in reached:
            way = reversed(system.graph.path_back(reached, node))
            return [system.handles[link.handle] for link in way if link.handle in system.handles]
    return []
