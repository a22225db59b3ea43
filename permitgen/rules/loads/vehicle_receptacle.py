"""A vehicle charger that is plugged in has a receptacle of its circuit's rating, large enough for continuous load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.currents import required_continuous_current_a
from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_least
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.vehicle_supply import devices_ahead
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utilization import EVSupplyEquipment
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.values.value import Value


@rule(
    "vehicle-receptacle",
    title="A vehicle charger that is plugged in has a receptacle of its circuit's rating, large enough for continuous load",
    provision="ev_receptacle",
    judges="ev_supply_equipment",
)
def judge(item: EVSupplyEquipment, given: Given) -> Judgement:
    """Judge the receptacle of a charger with cord and plug.

    Requires: the receptacle's rating ≥ 125 percent of the charger's current, and its circuit of the same rating.
    Why: the contacts of a receptacle carry that current the whole night, every night.
    Applies to: vehicle supply equipment with cord and plug.
    Example that fails: a 48 A charger on a 50 A receptacle.
    Example that passes: a 40 A charger on a 50 A receptacle and a 50 A circuit.
    """
    if given.need(item.word("connection") or None, f"whether {item.tag} is hard-wired or plugged in") != "cord and plug":
        return does_not_apply(f"{item.tag} is hard-wired")
    receptacle = given.need(item.fact("receptacle"), f"rating of the receptacle of {item.tag}").named(
        "R", f"rating of the receptacle of {item.tag}"
    )
    parts = parts_of(lambda: _carries(item, receptacle, given), lambda: _of_circuits(item, receptacle, given))
    return all_of(f"{item.tag}: receptacle of {receptacle.figure} A fits charger and circuit", parts)


def _carries(item: EVSupplyEquipment, receptacle: Value, given: Given) -> Judgement:
    provision = given.provision("ev_continuous_load")
    needed = required_continuous_current_a.derive(
        continuous_factor=provision.value("continuous_factor"),
        continuous_a=given.need(item.current_a, f"rated current of {item.tag}"),
        provision=provision,
        title=f"125 percent of the current of {item.tag}",
    )
    message = f"{item.tag}: a receptacle of {receptacle.figure} A, {needed.number:.4g} A asked"
    return require_at_least(message, computed=receptacle, limit=needed)


def _of_circuits(item: EVSupplyEquipment, receptacle: Value, given: Given) -> list[Judgement]:
    devices = given.need(devices_ahead(given, item) or None, f"overcurrent device of the circuit of {item.tag}")
    return parts_for(devices, lambda device: _of_circuit(item, receptacle, device, given))


def _of_circuit(item: EVSupplyEquipment, receptacle: Value, device: InstalledDevice, given: Given) -> Judgement:
    rating = given.need(device.device.rating_a, f"rating of the breaker or fuse at {device.tag}").named("OCPD")
    message = f"{item.tag}: a receptacle of {receptacle.figure} A on a circuit of {rating.figure} A"
    return require(abs(receptacle.number - rating.number) < 0.5, message, values=(receptacle, rating))
