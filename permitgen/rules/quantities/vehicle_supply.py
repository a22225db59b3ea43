"""The circuit of vehicle supply equipment, the device ahead of it, and the current with which it counts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.walks.in_series import devices_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.equipment.utilization import EVSupplyEquipment
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.values.value import Value


def circuit_of(given: Given, item: Equipment) -> Circuit | None:
    """Return the circuit that ends at equipment with one input, None where none does."""
    tags = given.system.circuits_at.get(item.tag, ())
    return given.system.circuits[tags[0]] if tags else None


def device_ahead(given: Given, item: Equipment) -> InstalledDevice | None:
    """Return the overcurrent device in series with the circuit of equipment with one input, None where there is none."""
    circuit = circuit_of(given, item)
    devices = devices_in_series(given.system, circuit) if circuit is not None else ()
    return devices[0] if devices else None


def charging_current(given: Given, item: EVSupplyEquipment) -> Value:
    """Return the current with which a charger counts, A: its setting where only qualified persons can change it, else the nameplate's.

    Raises:
        MissingFactError: no current is stated, or not who can change the setting.
    """
    name = f"rated current of {item.tag}"
    if item.setting_a is None:
        return given.need(item.current_a, name)
    restricted = given.need(item.answer("setting_restricted"), f"whether only qualified persons can change the setting of {item.tag}")
    return item.setting_a if restricted else given.need(item.current_a, name)
