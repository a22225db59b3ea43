"""What stands between the utility and a node: length of conductors, devices on the way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.sources_on_busbar import supply_path

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.system import System


def circuits_toward_utility(system: System, node: str) -> tuple[Circuit, ...]:
    """Return the circuits from ``node`` to the utility, nearest first."""
    return tuple(system.circuits[link.circuit] for link in supply_path(system, node, OperatingMode.WITH_UTILITY) if link.circuit)


def device_toward_utility(system: System, node: str) -> tuple[OvercurrentDevice | None, str]:
    """Return the first overcurrent device from ``node`` toward the utility and the part that holds it."""
    for link in supply_path(system, node, OperatingMode.WITH_UTILITY):
        if link.device is not None:
            return link.device, link.part
    return None, ""
