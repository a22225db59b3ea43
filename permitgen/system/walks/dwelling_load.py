"""Whether one circuit carries the whole load of the dwelling."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.spanning_forest import forest_in
from permitgen.system.walks.feeds import Border, border_devices
from permitgen.system.walks.sources_only import is_distribution

if TYPE_CHECKING:
    from permitgen.system.system import System


def load_places(system: System) -> frozenset[str]:
    """Return the nodes where the dwelling uses energy: utilization equipment, panels with loads, distribution panels."""
    places = {f"{item.tag}.input" for item in system.equipment.values() if item.is_utilization_equipment}
    places |= {f"{load.panel}.bus" for load in system.loads.values()}
    for busbar in system.busbars.values():
        if is_distribution(system, system.equipment[busbar.tag]):
            places.add(busbar.node)
    return frozenset(places)


def service_disconnects_beyond(system: System, circuit: str) -> tuple[Border, ...]:
    """Return the first devices that stand beyond service conductors, seen from the utility, with what lies behind each."""
    mode = OperatingMode.WITH_UTILITY
    without = system.graph.reach(system.utility_nodes, lambda link: mode in link.closed_in and link.circuit != circuit)
    far = next((end for end in (f"{circuit}.start", f"{circuit}.finish") if end not in without), "")
    if not far:
        return ()
    _, border = border_devices(system, far, mode, (system.graph.conductors_of(circuit),))
    return border


def loads_beside(system: System, circuit: str) -> tuple[str, ...]:
    """Return the tags of equipment whose loads the utility still reaches when the circuit is taken away; empty means it carries all."""
    graph = system.graph
    conductors = graph.conductors_of(circuit)
    forest = forest_in(graph, OperatingMode.WITH_UTILITY)
    reached = [forest.side(conductors, node) for node in system.utility_nodes if node in forest.number]
    places = graph.once("load places in order", lambda: sorted(load_places(system)))
    return tuple(dict.fromkeys(node.split(".", maxsplit=1)[0] for node in places if any(node in side for side in reached)))


def devices_at_load_end(system: System, circuit: str, end: str) -> tuple[Border, ...]:
    """Return the devices that end a circuit at ``end``; none where it meets a busbar first, which more circuits may leave."""
    inside, border = border_devices(system, f"{circuit}.{end}", left_out=(system.graph.conductors_of(circuit),))
    return () if any(busbar.node in inside for busbar in system.busbars.values()) else border
