"""The circuit of vehicle supply equipment, and the device ahead of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.walks.in_series import devices_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.installed_device import InstalledDevice


def circuit_of(given: Given, item: Equipment) -> Circuit | None:
    """Return the circuit that ends at equipment with one input, None where none does."""
    tags = given.system.circuits_at.get(item.tag, ())
    return given.system.circuits[tags[0]] if tags else None


def device_ahead(given: Given, item: Equipment) -> InstalledDevice | None:
    """Return the overcurrent device in series with the circuit of equipment with one input, None where there is none."""
    circuit = circuit_of(given, item)
    devices = devices_in_series(given.system, circuit) if circuit is not None else ()
    return devices[0] if devices else None
