"""A receptacle for vehicle charging protects persons from ground faults."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, one_or_all_of, require
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.vehicle_supply import devices_ahead
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utilization import EVSupplyEquipment
    from permitgen.system.installed_device import InstalledDevice


@rule(
    "vehicle-receptacle-protection",
    title="A receptacle for vehicle charging protects persons from ground faults",
    provision="ev_receptacle_ground_fault",
    judges="ev_supply_equipment",
)
def judge(item: EVSupplyEquipment, given: Given) -> Judgement:
    """Judge the protection of the receptacle of a charger with cord and plug.

    Requires: ground-fault protection for persons on its circuit.
    Why: the plug is drawn with wet hands, and the charger's own protection begins behind it.
    Applies to: vehicle supply equipment with cord and plug.
    Example that fails: a 50 A receptacle on a plain breaker.
    Example that passes: the same on a breaker with ground-fault protection.
    """
    if given.need(item.word("connection") or None, f"whether {item.tag} is hard-wired or plugged in") != "cord and plug":
        return does_not_apply(f"{item.tag} is hard-wired")
    devices = given.need(devices_ahead(given, item) or None, f"overcurrent device of the circuit of {item.tag}")
    parts = parts_for(devices, lambda device: _at(item, device))
    return one_or_all_of(f"{item.tag}: its receptacle is protected at each of its circuits", parts)


def _at(item: EVSupplyEquipment, device: InstalledDevice) -> Judgement:
    protects = device.device.answer("ground_fault_protection")
    message = f"{item.tag}: its receptacle is {'' if protects else 'not '}protected at {device.tag}"
    return require(protects, message, missing=f"whether the breaker at {device.tag} protects persons from ground faults")
