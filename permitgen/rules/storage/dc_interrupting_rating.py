"""Devices in battery circuits can interrupt the battery's fault current."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.dc_circuits import storage_joined
from permitgen.system.walks.in_series import circuits_in_series
from permitgen.values.equation import selected, sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


@rule(
    "ess-dc-interrupting-rating",
    title="Devices in battery circuits can interrupt the battery's fault current",
    provision="ess_dc_interrupting_rating",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge one device in series with a battery circuit against what the batteries can give into a fault.

    Requires: dc interrupting rating ≥ sum of the declared fault currents of the batteries on the circuit.
    Why: a battery gives thousands of amperes with nothing to limit them, and a dc arc does not pass through zero.
    Applies to: devices of dc circuits of storage, at their ends or in a switch.
    Example that fails: a 10 kA breaker on a battery that declares 20 kA.
    Example that passes: a 20 kA fuse there.
    """
    circuits = [circuit for circuit in circuits_in_series(given.system, device) if role(given, circuit) is CircuitRole.STORAGE_DC]
    if not circuits:
        return does_not_apply(f"{device.tag} is in series with no battery circuit")
    parts = parts_for(circuits, lambda circuit: _one(device, _available(circuit, given), given))
    return all_of(f"{device.tag}: it can interrupt the battery's fault current", parts)


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


def _one(device: InstalledDevice, available: Value, given: Given) -> Judgement:
    stated = given.need(device.device.interrupting_rating_ka, f"dc interrupting rating of the device at {device.tag}")
    rating = selected(
        stated.number * 1000, "a", by="in amperes", inputs=(stated,), symbol="IR", title=f"dc interrupting rating at {device.tag}"
    )
    message = f"{device.tag}: interrupting rating {stated.number:g} kA, {available.number / 1000:g} kA available"
    return require_at_least(message, computed=rating, limit=available)
