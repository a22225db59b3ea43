"""Which panels feed loads, and which only bring sources together."""

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


def is_distribution(system: System, item: Equipment) -> bool:
    """Whether a panelboard feeds loads: each does, unless its role says combiner or its directory shows sources alone."""
    return isinstance(item, Panelboard) and not _is_called_combiner(item) and not holds_sources_alone(system, item)


def holds_sources_alone(system: System, panel: Panelboard) -> bool:
    """Whether the file shows every breaker of a panel, and each is that of a source; the way to the utility is one circuit."""
    return system.graph.once(("sources alone", panel.tag), lambda: _holds_sources_alone(system, panel))


def _is_called_combiner(item: Equipment) -> bool:
    return any("combiner" in role or "combining" in role for role in item.roles)


def _holds_sources_alone(system: System, panel: Panelboard) -> bool:
    known = panel.tag in system.known_loads or any(load.panel == panel.tag for load in system.loads.values())
    if known or panel.answer("all_breakers_in_file") is not True:
        return False
    rows = panel_rows(system, panel.tag)
    if not rows or any(row.is_further for row in rows):
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
    buses = {bus.node for bus in system.busbars.values() if not _is_called_combiner(system.equipment[bus.tag])}
    uses = any(item.is_utilization_equipment for item in (system.equipment[tag] for tag in _tags(system, nodes)))
    return any(source.node in nodes for source in system.sources.values()) and not uses and not any(bus in nodes for bus in buses)


def _tags(system: System, nodes: Set[str]) -> set[str]:
    return {tag for node in nodes if (tag := node.split(".", maxsplit=1)[0]) in system.equipment}
