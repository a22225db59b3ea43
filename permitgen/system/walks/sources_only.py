"""Which panelboards carry nothing but sources: by their role, or because the file shows all their breakers and none is of a load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.panel_rows import panel_rows
from permitgen.system.spanning_forest import Overlay, forest_in

if TYPE_CHECKING:
    from collections.abc import Set

    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.system import System

_ROLES = ("combiner", "combining")


def is_distribution(system: System, item: Equipment) -> bool:
    """Whether equipment is a panelboard that feeds loads, or may for all that the file shows; a panel of sources only is none."""
    return isinstance(item, Panelboard) and not has_sources_only(system, item)


def has_sources_only(system: System, panel: Panelboard) -> bool:
    """Whether a panel combines sources and carries no load: its role says so, or every space is told and each breaker is of sources."""
    if _has_role(panel):
        return True
    return system.graph.once(("sources only", panel.tag), lambda: _is_shown_to_have_sources_only(system, panel))


def _has_role(item: Equipment) -> bool:
    return any(word in role for role in item.roles for word in _ROLES)


def _is_shown_to_have_sources_only(system: System, panel: Panelboard) -> bool:
    """Whether the file shows every breaker, and each is that of a source or a spare; the way to the utility is one circuit."""
    if panel.has_feed_through_lugs or panel.tag in system.known_loads or any(load.panel == panel.tag for load in system.loads.values()):
        return False
    if panel.answer("all_breakers_in_file") is not True:
        return False
    in_use = [row for row in panel_rows(system, panel.tag) if not row.is_spare]
    if not in_use or any(row.is_further for row in in_use):
        return False
    beyond = [_beyond(system, panel, system.circuits[tag]) for tag in system.circuits_at.get(panel.tag, ())]
    inward = [nodes for nodes in beyond if not any(node in nodes for node in system.utility_nodes)]
    return len(beyond) - len(inward) <= 1 and bool(inward) and all(_is_of_sources(system, nodes) for nodes in inward)


def _beyond(system: System, panel: Panelboard, circuit: Circuit) -> Set[str]:
    """Return the nodes to which a circuit leads away from the panel, over all modes."""
    graph = system.graph
    far = "finish" if circuit.start.tag == panel.tag else "start"
    conductors = graph.conductors_of(circuit.tag)
    forests = dict.fromkeys(forest_in(graph, mode) for mode in OperatingMode)
    return Overlay(tuple(forest.side(conductors, f"{circuit.tag}.{far}") for forest in forests))


def _is_of_sources(system: System, nodes: Set[str]) -> bool:
    """Whether something there gives current, and nothing there uses it or can feed something that the file does not show."""
    buses = {bus.node for bus in system.busbars.values() if not _has_role(system.equipment[bus.tag])}
    uses = any(item.is_utilization_equipment for item in (system.equipment[tag] for tag in _tags(system, nodes)))
    return any(source.node in nodes for source in system.sources.values()) and not uses and not any(bus in nodes for bus in buses)


def _tags(system: System, nodes: Set[str]) -> set[str]:
    return {tag for node in nodes if (tag := node.split(".", maxsplit=1)[0]) in system.equipment}
