"""An overcurrent device carries its current: all that is not continuous, and 125 percent of what is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.branch_load import VEHICLE
from permitgen.rules.quantities.circuit_current import CircuitCurrent, circuit_current, current_of_sources_behind, role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.in_series import circuits_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.values.value import Value

_DEVICE_PROVISION = {
    CircuitRole.BRANCH: "branch_overcurrent_continuous",
    CircuitRole.FEEDER: "feeder_overcurrent_continuous",
    CircuitRole.SERVICE: "source_overcurrent",
    CircuitRole.INVERTER_OUTPUT: "source_overcurrent",
    CircuitRole.SOURCE_FEEDER: "source_overcurrent",
    CircuitRole.STORAGE_AC: "source_overcurrent",
}


@rule(
    "overcurrent-rating",
    title="An overcurrent device carries its current: all that is not continuous, and 125 percent of what is",
    provision="branch_overcurrent_continuous",
    judges="device",
    sizes=("overcurrent device",),
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge one device by the currents of the ac circuits in series with it, wherever it stands.

    Requires: rating of the device ≥ noncontinuous current + 125 percent of the continuous current of loads and of sources.
    Why: a device loaded to its rating for hours opens, or ages its terminals.
    Applies to: ac devices at circuits' ends, in switches, as mains, behind relays; one listed for 100 percent needs no margin. The device
    inside a generator may be smaller than the machine.
    Example that fails: a 40 A device for 33 A of continuous current, 41.25 A; 15 A fuses in the switch of an inverter of 32 A.
    Example that passes: a 40 A device for 32 A of continuous current, 40 A.
    """
    circuits = [circuit for circuit in circuits_in_series(given.system, device) if not circuit.is_dc]
    if not circuits:
        return does_not_apply(f"{device.tag}: no ac circuit is in series with it")
    if given.system.equipment[device.enclosure].kind == "generator":
        return does_not_apply(f"{device.tag}: a generator's own device may hold the machine below its rating")
    found = parts_for(circuits, lambda circuit: parts_for(_needs(circuit, given), lambda need: _judge_one(given, device, need)))
    parts = list({part.message: part for part in found}.values())
    if not parts:
        return does_not_apply(f"{device.tag}: no load is stated for it and no source lies behind it")
    return all_of(f"{device.tag}: it carries its current", parts)


def _needs(circuit: Circuit, given: Given) -> list[CircuitCurrent]:
    """Return the currents to carry: of the load, and where loads lie behind it also of the sources there, which flow the other way."""
    role_ = role(given, circuit)
    if role_ not in (CircuitRole.FEEDER, CircuitRole.SERVICE):
        return [circuit_current(given, circuit)]
    needs = [circuit_current(given, circuit)] if circuit.current_a is not None else []
    behind = current_of_sources_behind(given, circuit, "source_overcurrent")
    return [*needs, behind] if behind is not None else needs


def _judge_one(given: Given, device: InstalledDevice, need: CircuitCurrent) -> Judgement:
    rating = given.need(device.device.rating_a, f"rating of the device at {device.tag}").named("OCPD")
    required = need.maximum_a if device.device.listed_for_100_percent else need.required_a
    return require_at_least(
        f"{device.tag}: a {rating.figure} A breaker or fuse for {required.number:.4g} A ({need.basis})",
        computed=rating,
        limit=_named(required),
        places=(device.at,) if device.at is not None else (),
    ).under(given.provision(_provision_of(need)))


def _provision_of(need: CircuitCurrent) -> str:
    """Return the id of what asks for the device: vehicle supply equipment and sources have sections of their own."""
    if "source" in need.basis:
        return "source_overcurrent"
    return need.provision if need.provision == VEHICLE else _DEVICE_PROVISION.get(need.role, need.provision)


def _named(required: Value) -> Value:
    return required if required.symbol else required.named("I_req")
