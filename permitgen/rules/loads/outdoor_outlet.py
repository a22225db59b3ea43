"""A new outlet outdoors at a dwelling protects persons from ground faults."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, at_most, does_not_apply, not_judged, one_or_all_of, require
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.building_use import is_dwelling_at, question
from permitgen.rules.quantities.circuit_current import line_to_neutral
from permitgen.rules.quantities.vehicle_supply import devices_ahead
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.installed_device import InstalledDevice

_HVAC = ("air conditioning", "heat pump")


@rule(
    "outdoor-outlet",
    title="A new outlet outdoors at a dwelling protects persons from ground faults",
    provision="outdoor_outlet_ground_fault",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the circuit of one appliance or charger outdoors; a hard-wired unit is an outlet too.

    Requires: ground-fault protection for persons on circuits up to the edition's rating and 150 V to ground.
    Why: a child died at an outdoor unit whose frame had become live.
    Applies to: appliances and vehicle supply equipment outdoors that are new or replaced. Listed air conditioning and heat pumps are
        excepted in 2023 until a day of 2026: the date of the newest revision tells on which side of it the work lies.
    Example that fails: a new 40 A charger on the outside wall, on a plain breaker.
    Example that passes: the same on a breaker with ground-fault protection.
    """
    if not item.is_counted_load or item.status == "existing":
        return does_not_apply(f"{item.tag} is no new outlet of utilization equipment")
    place = given.need(item.place, f"place of {item.tag}")
    if not given.need(place.outdoors, f"whether {item.tag} is outdoors"):
        return does_not_apply(f"{item.tag} is indoors")
    if is_dwelling_at(given, place.building) is False:
        return does_not_apply(f"{item.tag} is not at a dwelling")
    devices = given.need(devices_ahead(given, item) or None, f"overcurrent device of the circuit of {item.tag}")
    parts = parts_for(devices, lambda device: _at(item, place.building, device, given))
    binding = [part for part in parts if part.verdict is not Verdict.DOES_NOT_APPLY] or parts
    return one_or_all_of(f"{item.tag}: outlet outdoors, protected at each of its circuits", binding)


def _at(item: Equipment, building: str, device: InstalledDevice, given: Given) -> Judgement:
    """Judge one circuit that ends there."""
    dwelling = is_dwelling_at(given, building)
    provision = given.provision("outdoor_outlet_ground_fault")
    rating = given.need(device.device.rating_a, f"rating of the breaker or fuse at {device.tag}")
    if not at_most(rating, provision.value("largest_a")) or not at_most(line_to_neutral(given), provision.value("largest_v")):
        return does_not_apply(f"{item.tag}: its circuit is above {provision.value('largest_a').figure} A, or above the voltage to ground")
    excepted = _excepted(item, provision, given)
    if excepted is not None:
        return excepted
    protects = device.device.answer("ground_fault_protection")
    message = f"{item.tag}: outlet outdoors, {'' if protects else 'not '}protected at {device.tag}"
    found = require(protects, message, missing=f"whether the breaker at {device.tag} protects persons from ground faults")
    return found if dwelling or found.holds else not_judged(question(building))


def _excepted(item: Equipment, provision: Provision, given: Given) -> Judgement | None:
    """Listed air conditioning until the edition's day; without a date of the work nobody can tell."""
    if getattr(item, "stated_category", "") not in _HVAC or not provision.has("hvac_excepted_until"):
        return None
    revision = given.system.project.revision
    until = provision.text("hvac_excepted_until")
    if revision is None:
        return not_judged(f"date of the newest revision: listed air conditioning is excepted until {until}")
    return does_not_apply(f"{item.tag}: listed air conditioning, excepted until {until}") if revision.date < until else None
