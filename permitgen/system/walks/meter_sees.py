"""What a meter at a node sees in one mode: what a test on site reads in a sound house, and what in a house with a fault.

Unlike ``possibly_live`` this tells what does happen, not what might: an inverter that follows the grid stops when its ac is gone, and a
shutdown loop opens the relay that it acts on. So a test can be shown to read otherwise where the fault that it looks for is there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.rapid_shutdown import ac_nodes, arrays_of, initiators
from permitgen.system.walks.stopped_sources import inverter_sources

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """How the house stands while somebody measures.

    ``opened`` are handles that are open, ``utility_away`` says that the utility is parted ahead of every handle. The faults: ``deaf`` are
    tags of sources that do not obey the shutdown that they are told, ``runs_on`` of those that keep giving when their ac is gone, ``stuck``
    switches that stay closed in every mode.
    """

    mode: OperatingMode
    opened: frozenset[str] = frozenset()
    utility_away: bool = False
    deaf: frozenset[str] = frozenset()
    runs_on: frozenset[str] = frozenset()
    stuck: frozenset[str] = frozenset()


def seen_at(system: System, node: str, situation: Situation) -> tuple[PowerSource, ...]:
    """Return the sources whose voltage a meter at ``node`` sees; none: it reads nothing."""
    reached = _reached(system, [node], situation)
    return tuple(source for source in running(system, situation) if source.node in reached)


def running(system: System, situation: Situation) -> tuple[PowerSource, ...]:
    """Return the sources that give voltage: those that nothing stopped and that, where they follow the grid, have one to follow."""
    return system.graph.once(("running", situation), lambda: _running(system, situation))


def _running(system: System, situation: Situation) -> tuple[PowerSource, ...]:
    told = told_to_stop(system, situation) - situation.deaf
    alive = [s for s in system.sources.values() if s.tag not in told and not _is_off(system, s, told, situation)]
    live = set(_reached(system, [s.node for s in alive if _gives_the_grid(s)], situation))
    stopped = told | (_without_ac(system, live, situation) - situation.runs_on)
    return tuple(s for s in alive if s.tag not in stopped and (not _follows(s) or s.node in live or s.tag in situation.runs_on))


def told_to_stop(system: System, situation: Situation) -> frozenset[str]:
    """Return the tags of the sources that open handles tell to stop."""
    return frozenset(tag for handle in situation.opened if handle in system.handles for tag in system.handles[handle].stops)


def opened_relays(system: System, situation: Situation) -> frozenset[str]:
    """Return the relays that a shutdown loop opens: those of source terminals behind which only obedient, stopped sources stand."""
    return system.graph.once(("opened relays", situation.opened, situation.deaf), lambda: _opened_relays(system, situation))


def _opened_relays(system: System, situation: Situation) -> frozenset[str]:
    told = told_to_stop(system, situation) - situation.deaf
    devices = {handle for handle in situation.opened if handle in system.handles and system.handles[handle].stops}
    boxes = {loop.source for loop in system.controls.values() if loop.device in devices}
    found = set()
    for link in system.graph.links:
        tag, _, name = link.first.partition(".")
        terminal = system.equipment[tag].terminals.get(name) if tag in boxes else None
        if terminal is not None and terminal.accepts and link.switch:
            behind = system.graph.reach([link.first], lambda other, relay=link: other is not relay)  # type: ignore[misc]
            tags = {source.tag for source in system.sources.values() if source.node in behind}
            if tags and tags <= told:
                found.add(link.switch)
    return frozenset(found)


def passes(situation: Situation, link: Link, relays: frozenset[str]) -> bool:
    """Whether voltage passes a link; ``relays`` are those that a shutdown loop opened."""
    if link.is_converter or link.handle in situation.opened or link.switch in relays:
        return False
    return situation.mode in link.closed_in or bool(situation.stuck & {link.switch, link.handle} - {""})


def _reached(system: System, nodes: list[str], situation: Situation) -> dict[str, Link | None]:
    relays = opened_relays(system, situation)
    return system.graph.reach(nodes, lambda link: passes(situation, link, relays))


def _gives_the_grid(source: PowerSource) -> bool:
    return source.is_ac and (source.kind == "utility" or source.forms_island)


def _follows(source: PowerSource) -> bool:
    return source.is_ac and not _gives_the_grid(source)


def _is_off(system: System, source: PowerSource, told: frozenset[str], situation: Situation) -> bool:
    """Whether a source gives nothing here by its nature: a generator at rest, an inverter all of whose batteries and strings stopped."""
    if source.kind == "utility":
        return situation.utility_away
    if source.kind == "generator":
        return situation.mode is not OperatingMode.ON_GENERATOR
    item = system.equipment[source.tag]
    feeding = inverter_sources(system, item) if isinstance(item, Inverter) else frozenset()
    return bool(feeding) and feeding <= told


def _without_ac(system: System, live: set[str], situation: Situation) -> frozenset[str]:
    """Return the arrays that shut down because the disconnect that is their initiator took the ac away."""
    behind = {tag for each in initiators(system) if not each.by_control and each.handle in situation.opened for tag in each.arrays}
    return frozenset(array.tag for array in arrays_of(system) if array.tag in behind and not live & set(ac_nodes(system, array)))
