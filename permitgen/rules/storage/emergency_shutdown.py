"""At a dwelling the storage system is shut off from outside."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, any_of, does_not_apply, not_judged, require
from permitgen.rules.quantities.building_use import is_of_small_dwelling
from permitgen.rules.quantities.siting_buildings import stand_at_one_structure
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect, RapidShutdownInitiator
from permitgen.system.walks.source_switches import separating_handles

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "ess-emergency-shutdown",
    title="At a dwelling the storage system is shut off from outside",
    provision="ess_emergency_shutdown",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge what shuts a storage unit off from outside the house.

    Requires: outside and readily accessible, the disconnect or its remote control (2020), or an emergency shutdown (from 2023), at the
        building of the unit; outside another building it is a caution.
    Why: a house on fire cannot be entered to switch its battery off.
    Applies to: storage in or at one- and two-family dwellings and what belongs to them, from the 2020 edition on.
    Example that fails: the only switch is on the unit inside the garage.
    Example that passes: a switch on the outside wall that stops the unit.
    """
    small = is_of_small_dwelling(given, unit.tag)
    if small is False:
        return does_not_apply(f"{unit.tag} is at other than a one- or two-family dwelling")
    devices = list({item.tag: item for item in _devices(unit, given)}.values())
    found = any_of(f"{unit.tag}: shut off from outside", [_outside(unit, device, given) for device in devices]) if devices else None
    judgement = found or require(fact=False, message=f"{unit.tag}: nothing shuts it off from outside")
    return judgement if small or judgement.holds else not_judged(f"of which dwelling {unit.tag} is (place, building)")


def _devices(unit: EnergyStorageSystem, given: Given) -> Iterator[Equipment]:
    """Yield what shuts the unit off: switches that stop it by control, switches on its circuit, its own switch."""
    system = given.system
    for item in system.equipment.values():
        if isinstance(item, RapidShutdownInitiator) and unit.tag in item.also_stops:
            yield item
    sources = tuple(source for source in system.sources.values() if source.tag == unit.tag)
    for handle in separating_handles(system, sources):
        switch = system.equipment.get(handle.tag)
        if switch is unit or isinstance(switch, Disconnect):
            yield switch
    if unit.answer("emergency_shutdown") and unit.place is not None and unit.place.outdoors:
        yield unit


def _outside(unit: EnergyStorageSystem, device: Equipment, given: Given) -> Judgement:
    place = device.place
    outdoors = place.outdoors if place is not None else None
    access = place.readily_accessible if place is not None else None
    what = "its own switch" if device is unit else device.tag
    parts = [
        require(outdoors, f"{what} is {'outdoors' if outdoors else 'indoors'}", missing=f"whether {device.tag} is outside"),
        require(access, f"{what} is {'' if access else 'not '}readily accessible", missing=f"whether {device.tag} is readily accessible"),
    ]
    if not stand_at_one_structure(given, unit.tag, device.tag):
        message = f"{what} is outside another building than the one of {unit.tag}"
        parts.append(require(fact=False, message=message, otherwise=Verdict.CAUTION))
    return all_of(f"{what} is outdoors, readily accessible", parts)
