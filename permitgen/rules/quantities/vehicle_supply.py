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


def circuits_of(given: Given, item: Equipment) -> tuple[Circuit, ...]:
    """Return the circuits that end at equipment; it has one as a rule.

    Raises:
        MissingFactError: none does.
    """
    tags = given.need(given.system.circuits_at.get(item.tag) or None, f"circuit of {item.tag}")
    return tuple(given.system.circuits[tag] for tag in tags)


def devices_ahead(given: Given, item: Equipment) -> tuple[InstalledDevice, ...]:
    """Return the overcurrent device in series with each circuit of equipment; nothing where one of them has none."""
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(item.tag, ())]
    found = [devices_in_series(given.system, circuit) for circuit in circuits]
    return tuple(devices[0] for devices in found) if all(found) else ()


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
