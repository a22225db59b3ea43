"""What is possibly live after certain handles are opened, and which handles make the house dead."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.handle import Handle
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System

# The order in which a firefighter works: what stops sources by itself first, the utility last, because opening the
# service disconnect first makes the house an island or starts the generator.
_ORDER = {
    "rapid shutdown initiator": 0,
    "energy storage disconnect": 1,
    "generator stop": 2,
    "source disconnect": 3,
    "service disconnect": 4,
    "main breaker": 4,
    "disconnect": 5,
    "breaker": 6,
}


@dataclass(frozen=True, slots=True)
class Shutdown:
    """The steps that make the load conductors dead. ``still_live`` lists load nodes that stay possibly live after the last."""

    steps: tuple[Handle, ...]
    still_live: tuple[str, ...]
    stays_energized: tuple[str, ...]


def possibly_live(system: System, opened: Iterable[str]) -> dict[str, PowerSource]:
    """Return every node that some source can still reach in some mode when the handles ``opened`` are open.

    A source is stopped when an open handle stops it by control. Modes are overlaid, because contactors and relays move by
    themselves.
    """
    open_handles = frozenset(opened)
    stopped = {tag for handle in open_handles if handle in system.handles for tag in system.handles[handle].stops}
    live: dict[str, PowerSource] = {}
    for source in system.sources.values():
        if source.tag in stopped:
            continue
        for mode in system.modes:
            reached = system.graph.reach([source.node], lambda link, mode=mode: mode in link.closed_in and link.handle not in open_handles)  # type: ignore[misc]
            for node in reached:
                live.setdefault(node, source)
    return live


def load_nodes(system: System) -> tuple[str, ...]:
    """Return the nodes that must be dead: busbars of distribution panels and inputs of utilization equipment."""
    nodes = [bus.node for bus in system.busbars.values()]
    nodes += [f"{item.tag}.input" for item in system.equipment.values() if item.is_utilization_equipment]
    return tuple(nodes)


def service_handles(system: System) -> tuple[str, ...]:
    """Return the handles of the service disconnecting means: the first ones on each path from the utility."""
    found: dict[str, None] = {}
    reached = system.graph.reach(system.utility_nodes, lambda link: not link.handle)
    for node in reached:
        for link in system.graph.at_node.get(node, ()):
            if (link.handle and link.first in reached) or (link.handle and link.second in reached):
                found[link.handle] = None
    return tuple(found)


def shutdown_steps(system: System) -> Shutdown:
    """Choose the handles of the placard and check by reachability that no load conductor stays possibly live.

    Candidates are initiators, storage disconnects, generator stops, source disconnects and the service disconnects; a step that
    changes nothing is left out.
    """
    wanted = [
        h
        for h in system.handles.values()
        if h.kind in ("rapid shutdown initiator", "energy storage disconnect", "generator stop", "source disconnect")
    ]
    wanted += [system.handles[handle] for handle in service_handles(system) if handle in system.handles]
    ordered = sorted(dict.fromkeys(wanted), key=lambda h: _ORDER.get(h.kind, 9))
    steps = _needed(system, ordered)
    live = possibly_live(system, (h.id for h in steps))
    loads = load_nodes(system)
    return Shutdown(
        steps=tuple(steps),
        still_live=tuple(node for node in loads if node in live),
        stays_energized=tuple(sorted(node for node in live if node not in loads)),
    )


def _needed(system: System, ordered: list[Handle]) -> list[Handle]:
    """Keep the handles without which more stays live than with all of them; initiators always stay."""
    everything = frozenset(h.id for h in ordered)
    least = set(possibly_live(system, everything))
    kept = list(ordered)
    for handle in reversed(ordered):
        if handle.kind in ("rapid shutdown initiator", "generator stop") or handle.id in service_handles(system):
            continue
        fewer = [h.id for h in kept if h is not handle]
        if set(possibly_live(system, fewer)) <= least:
            kept.remove(handle)
    return kept
