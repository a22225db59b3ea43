"""The device of a battery circuit carries 125 percent of its current; every storage unit states the largest device it permits."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require_at_least, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import circuit_current, role
from permitgen.rules.rule import rule
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.in_series import circuits_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.values.value import Value


_STORAGE = (CircuitRole.STORAGE_AC, CircuitRole.STORAGE_DC)


@rule(
    "ess-overcurrent",
    title="The device of a battery circuit carries 125 percent of its current; every storage unit states the largest device it permits",
    provision="ess_overcurrent_rating",
    judges="device",
    sizes=("overcurrent device",),
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge one device in series with a storage circuit, at its end or in a switch on the way.

    Requires: on a battery circuit, device ≥ 125 percent of its current and ≤ the largest the manufacturer permits.
    Why: a smaller device opens under a long charge; a larger one than the manufacturer's does not protect the unit.
    Applies to: devices of storage alone; ac ones are judged with all sources, here only that the manufacturer's largest is known.
    Example that fails: a 125 A fuse for a battery circuit of 133.7 A: 167 A are needed.
    Example that passes: a 200 A fuse there, and a maker who permits 250 A.
    """
    circuits = [circuit for circuit in circuits_in_series(given.system, device) if role(given, circuit) in _STORAGE]
    if not circuits:
        return does_not_apply(f"{device.tag} is in series with no storage circuit")
    units = _units(circuits, given)
    unknown = [unit.tag for unit in units if unit.largest_device_a is None]
    battery = [circuit for circuit in circuits if role(given, circuit) is CircuitRole.STORAGE_DC]
    if not battery:
        if unknown:
            return not_judged(f"largest overcurrent device that the manufacturer of {' and '.join(unknown)} permits")
        return does_not_apply(f"{device.tag} is an ac device (see overcurrent-rating and listed-overcurrent-maximum)")
    parts = list({part.message: part for part in parts_of(lambda: _parts(battery, units, device, given))}.values())
    return all_of(f"{device.tag}: it carries the current and stays within the manufacturer's largest", parts)


def _units(circuits: Sequence[Circuit], given: Given) -> list[EnergyStorageSystem]:
    ends = (given.system.equipment[end.tag] for circuit in circuits for end in circuit.ends)
    return list({unit.tag: unit for unit in ends if isinstance(unit, EnergyStorageSystem)}.values())


def _parts(circuits: Sequence[Circuit], units: Sequence[EnergyStorageSystem], device: InstalledDevice, given: Given) -> list[Judgement]:
    rating = given.need(device.device.rating_a, f"rating of the device at {device.tag}").named("OCPD")
    return [
        *parts_for(circuits, lambda circuit: _carries(circuit, device, rating, given)),
        *parts_for(units, lambda unit: _within(unit, device, rating, given)),
    ]


def _carries(circuit: Circuit, device: InstalledDevice, rating: Value, given: Given) -> Judgement:
    current = circuit_current(given, circuit)
    needed = current.maximum_a if device.device.listed_for_100_percent else current.required_a
    message = f"{device.tag}: a breaker or fuse of {rating.figure} A, {needed.number:.4g} A needed"
    return require_at_least(message, computed=rating, limit=needed)


def _within(unit: EnergyStorageSystem, device: InstalledDevice, rating: Value, given: Given) -> Judgement:
    stated = given.need(unit.largest_device_a, f"largest overcurrent device that the manufacturer of {unit.tag} permits")
    largest = stated.named("OCPD_max")
    message = f"{device.tag}: {rating.figure} A, {largest.figure} A permitted by the manufacturer of {unit.tag}"
    return require_at_most(message, computed=rating, limit=largest)
