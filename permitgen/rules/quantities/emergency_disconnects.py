"""What can serve as the emergency disconnect of each service disconnect: itself, or a switch for that purpose on the way to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.service_disconnects import disconnects_of, service_side
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.sources_on_busbar import supply_path

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.service_disconnects import ServiceDisconnect
    from permitgen.system.equipment.equipment import Equipment


@dataclass(frozen=True, slots=True)
class EmergencyWay:
    """``equipment`` holds a service disconnect; ``switches`` are the emergency disconnects between the utility and it."""

    equipment: Equipment
    switches: tuple[Equipment, ...]


def emergency_ways(given: Given, service: str) -> tuple[EmergencyWay, ...]:
    """Return the enclosures with service disconnects of one service, each with the emergency disconnects ahead of it.

    Where the edition names no switch that is not the service disconnect, there are none.
    """
    separate = given.provision("emergency_disconnect").flag("separate_switch_permitted")
    found: dict[str, dict[str, Equipment]] = {}
    for disconnect in disconnects_of(given, service):
        switches = _ahead(given, disconnect) if separate else {}
        known = found.get(disconnect.enclosure)
        # A switch serves an enclosure only where it opens every way into it.
        found[disconnect.enclosure] = switches if known is None else {tag: item for tag, item in known.items() if tag in switches}
    return tuple(EmergencyWay(given.system.equipment[tag], tuple(switches.values())) for tag, switches in found.items())


def _ahead(given: Given, disconnect: ServiceDisconnect) -> dict[str, Equipment]:
    ahead = service_side(given).ahead
    near = disconnect.link.first if disconnect.link.first in ahead else disconnect.link.second
    handles = [link.handle for link in supply_path(given.system, near, OperatingMode.WITH_UTILITY) if link.handle]
    items = (given.system.equipment[given.system.handles[handle].tag] for handle in handles)
    return {item.tag: item for item in items if isinstance(item, Disconnect) and item.purpose == "emergency"}
