"""The device of a storage circuit carries 125 percent of its current and stays within the maker's largest."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least, require_at_most
from permitgen.rules.quantities.circuit_current import circuit_current, role
from permitgen.rules.rule import rule
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.overcurrent_device import OvercurrentDevice

_STORAGE = (CircuitRole.STORAGE_AC, CircuitRole.STORAGE_DC)


@rule("ess-overcurrent", provision="ess_overcurrent_rating", judges="circuit", sizes=("overcurrent device",))
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the devices at the ends of a storage circuit.

    Requires: device ≥ 125 percent of the storage current; device ≤ the largest the maker of the unit permits.
    Why: a smaller device opens under a long charge; a larger one than the maker's does not protect the unit.
    Applies to: circuits that carry storage alone; a device listed for 100 percent needs no 125 percent.
    Example that fails: a 35 A device for 32 A of storage: 40 A are needed.
    Example that passes: a 40 A device for it, and a maker who permits 40 A.
    """
    if role(given, circuit) not in _STORAGE:
        return does_not_apply(f"{circuit.tag} is no storage circuit")
    devices = [device for device in (circuit.start_device, circuit.finish_device) if device is not None]
    if not devices:
        return does_not_apply(f"{circuit.tag} has no overcurrent device at its ends")
    parts = [part for device in devices for part in _parts(circuit, device, given)]
    return all_of(f"{circuit.tag}: its device carries the current and stays within the maker's largest", parts)


def _parts(circuit: Circuit, device: OvercurrentDevice, given: Given) -> Iterator[Judgement]:
    rating = given.need(device.rating_a, f"rating of the overcurrent device of {circuit.tag}").named("OCPD")
    current = circuit_current(given, circuit)
    needed = current.maximum_a if device.listed_for_100_percent else current.required_a
    yield require_at_least(f"{circuit.tag}: a device of {rating.number:g} A, {needed.number:.4g} A needed", computed=rating, limit=needed)
    for end in circuit.ends:
        unit = given.system.equipment[end.tag]
        if isinstance(unit, EnergyStorageSystem):
            largest = given.need(unit.largest_device_a, f"largest overcurrent device that the maker of {unit.tag} permits").named(
                "OCPD_max"
            )
            message = f"{circuit.tag}: a device of {rating.number:g} A, {largest.number:g} A permitted by the maker of {unit.tag}"
            yield require_at_most(message, computed=rating, limit=largest)
