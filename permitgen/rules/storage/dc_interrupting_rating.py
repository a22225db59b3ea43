"""Devices in battery circuits can interrupt the battery's fault current."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.dc_circuits import storage_joined
from permitgen.values.equation import selected, sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


@rule("ess-dc-interrupting-rating", provision="ess_dc_interrupting_rating", judges="circuit")
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the devices of a battery circuit against what the batteries can give into a fault.

    Requires: dc interrupting rating ≥ sum of the declared fault currents of the batteries on the circuit.
    Why: a battery gives thousands of amperes with nothing to limit them, and a dc arc does not pass through zero.
    Applies to: dc circuits of storage with an overcurrent device.
    Example that fails: a 10 kA breaker on a battery that declares 20 kA.
    Example that passes: a 20 kA fuse there.
    """
    if role(given, circuit) is not CircuitRole.STORAGE_DC:
        return does_not_apply(f"{circuit.tag} is no battery circuit")
    devices = [device for device in (circuit.start_device, circuit.finish_device) if device is not None]
    if not devices:
        return does_not_apply(f"{circuit.tag} has no overcurrent device at its ends")
    available = _available(circuit, given)
    return all_of(
        f"{circuit.tag}: its breakers or fuses can interrupt the battery's fault current",
        [_one(circuit, d, available, given) for d in devices],
    )


def _available(circuit: Circuit, given: Given) -> Value:
    units = storage_joined(given.system, f"{circuit.tag}.start")
    currents = [given.need(_declared(unit, given), f"fault current that {unit.tag} declares").named(f"I_f_{unit.tag}") for unit in units]
    return (
        currents[0]
        if len(currents) == 1
        else sum_of(currents, symbol="ΣI_f", title=f"fault current of the batteries on {circuit.tag}", unit="a")
    )


def _declared(source: PowerSource, given: Given) -> Value | None:
    unit = given.system.equipment[source.tag]
    return unit.fault_current_a if isinstance(unit, EnergyStorageSystem) else None


def _one(circuit: Circuit, device: OvercurrentDevice, available: Value, given: Given) -> Judgement:
    stated = given.need(device.interrupting_rating_ka, f"dc interrupting rating of the breaker or fuse of {circuit.tag}")
    rating = selected(
        stated.number * 1000, "a", by="in amperes", inputs=(stated,), symbol="IR", title=f"dc interrupting rating at {circuit.tag}"
    )
    message = f"{circuit.tag}: interrupting rating {stated.number:g} kA, {available.number / 1000:g} kA available"
    return require_at_least(message, computed=rating, limit=available)
