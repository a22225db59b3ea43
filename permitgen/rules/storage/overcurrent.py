"""The device of a battery circuit carries 125 percent of its current; every storage unit states the largest device it permits."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require_at_least, require_at_most
from permitgen.rules.quantities.circuit_current import circuit_current, role
from permitgen.rules.rule import rule
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.overcurrent_device import OvercurrentDevice


@rule("ess-overcurrent", provision="ess_overcurrent_rating", judges="circuit", sizes=("overcurrent device",))
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the devices at the ends of a storage circuit.

    Requires: on a battery circuit, device ≥ 125 percent of its current and ≤ the largest the manufacturer permits.
    Why: a smaller device opens under a long charge; a larger one than the manufacturer's does not protect the unit.
    Applies to: circuits of storage alone; ac circuits are judged with all sources, here only that the manufacturer's largest is known.
    Example that fails: a 125 A fuse for a battery circuit of 133.7 A: 167 A are needed.
    Example that passes: a 200 A fuse there, and a maker who permits 250 A.
    """
    kind = role(given, circuit)
    devices = [device for device in (circuit.start_device, circuit.finish_device) if device is not None]
    if kind not in (CircuitRole.STORAGE_AC, CircuitRole.STORAGE_DC) or not devices:
        return does_not_apply(f"{circuit.tag} is no storage circuit with a device at its ends")
    unknown = [unit.tag for unit in _units(circuit, given) if unit.largest_device_a is None]
    if unknown:
        return not_judged(f"largest overcurrent device that the manufacturer of {' and '.join(unknown)} permits")
    if kind is CircuitRole.STORAGE_AC:
        return does_not_apply(f"{circuit.tag} supplies ac (see overcurrent-rating and listed-overcurrent-maximum)")
    parts = [part for device in devices for part in _parts(circuit, device, given)]
    return all_of(f"{circuit.tag}: its breaker or fuse carries the current and stays within the manufacturer's largest", parts)


def _units(circuit: Circuit, given: Given) -> list[EnergyStorageSystem]:
    return [unit for end in circuit.ends if isinstance(unit := given.system.equipment[end.tag], EnergyStorageSystem)]


def _parts(circuit: Circuit, device: OvercurrentDevice, given: Given) -> Iterator[Judgement]:
    rating = given.need(device.rating_a, f"rating of the overcurrent device of {circuit.tag}").named("OCPD")
    current = circuit_current(given, circuit)
    needed = current.maximum_a if device.listed_for_100_percent else current.required_a
    yield require_at_least(
        f"{circuit.tag}: a breaker or fuse of {rating.number:g} A, {needed.number:.4g} A needed", computed=rating, limit=needed
    )
    for unit in _units(circuit, given):
        largest = given.need(unit.largest_device_a, f"largest overcurrent device that the manufacturer of {unit.tag} permits").named(
            "OCPD_max"
        )
        message = (
            f"{circuit.tag}: a breaker or fuse of {rating.number:g} A, {largest.number:g} A permitted by the manufacturer of {unit.tag}"
        )
        yield require_at_most(message, computed=rating, limit=largest)
