"""Whether both sides of an open switch can be live at the same time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.energized import energized_stretches

if TYPE_CHECKING:
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


def live_on_both_sides(system: System, handle: str) -> bool:
    """Tell whether both terminals of an open switch can be energized at the same time.

    With the utility present, an interactive source energizes only what the utility also reaches: it stops by itself when it is
    cut off. A source that forms an island can keep its own side alive, with the utility on the other; a contactor between it and
    the switch is then open. A plain interactive inverter's switch is therefore dead on its inverter side when it is open, and gets
    no warning, nor does a service disconnect ahead of an interconnect device.
    """
    links = [link for link in system.graph.links if link.handle == handle]
    utility = OperatingMode.WITH_UTILITY
    pairs = [(one, other) for one in system.modes for other in system.modes if one is other or utility in (one, other)]
    return any(_live(system, link.first, link, one) and _live(system, link.second, link, other) for link in links for one, other in pairs)


def energizing_when_open(system: System, handle: str, node: str) -> tuple[PowerSource, ...]:
    """Return the sources that run by themselves and keep ``node`` of an open switch energized, over all modes.

    Between an inverter and its strings and batteries only these count: its listing holds what leaves its other ports.
    """
    stretches = energized_stretches(system, [handle])
    reached = system.graph.reach([node], lambda link: not link.is_converter and link.handle != handle)
    return tuple(s.source for s in stretches if node in s.nodes and (s.source.node in reached or not _is_dc(system, node)))


def _is_dc(system: System, node: str) -> bool:
    tag = node.split(".", maxsplit=1)[0]
    return any(system.circuits[each].is_dc for each in system.circuits_at.get(tag, ()))


def _live(system: System, node: str, opened: Link, mode: OperatingMode) -> bool:
    reached = system.graph.reach([node], lambda link: mode in link.closed_in and link.handle != opened.handle)
    if mode is OperatingMode.WITH_UTILITY:
        if any(start in reached for start in system.utility_nodes):
            return True
        return any(source.node in reached and _stands_alone(source.kind, node, source.node) for source in system.sources.values())
    return any(source.node in reached and (source.forms_island or not source.is_ac) for source in system.sources.values())


def _stands_alone(kind: str, node: str, source_node: str) -> bool:
    """Battery cells are live by themselves, whatever is open."""
    return kind == "energy storage" and node == source_node
