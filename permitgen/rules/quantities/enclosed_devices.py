"""Which enclosures hold overcurrent devices."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.system import System


def holds_overcurrent_devices(system: System, item: Equipment) -> bool:
    """Whether an enclosure holds devices that people reach: its own, or those of the circuits that land there."""
    if not item.holds_devices:
        return False
    nodes = {node for node in system.graph.at_node if node.split(".", maxsplit=1)[0] == item.tag}
    return any(link.device is not None for node in nodes for link in system.graph.at_node[node])
