"""At a dwelling the storage system is shut off from outside."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, any_of, does_not_apply, not_judged, require
from permitgen.rules.quantities.building_use import is_of_small_dwelling
from permitgen.rules.quantities.siting_buildings import stand_at_one_structure
from permitgen.rules.quantities.stopped_by_control import opened_at
from permitgen.rules.rule import rule
from permitgen.system.walks.stop_loops import EMERGENCY_SHUTDOWN, RAPID_SHUTDOWN, stop_loops
from permitgen.system.walks.storage_switches import BREAKER, parting_handles, stopping_handles

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
    from permitgen.system.handle import Handle
    from permitgen.system.place import Place


@rule(
    "ess-emergency-shutdown",
    title="At a dwelling the storage system is shut off from outside",
    provision="ess_emergency_shutdown",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge what shuts a storage unit off from outside the house.

    Requires: outside and readily accessible, the disconnect or its remote control (2020), or an emergency shutdown (from 2023), at the
        building of the unit; outside another building it is a caution. A switch that stops it by control has the circuit for that.
    Why: a house on fire cannot be entered to switch its battery off.
    Applies to: storage in or at one- and two-family dwellings and what belongs to them, from the 2020 edition on.
    Example that fails: the only switch is on the unit inside the garage.
    Example that passes: a switch on the outside wall that stops the unit, or the breaker that parts it in a panel outside.
    """
    small = is_of_small_dwelling(given, unit.tag)
    if small is False:
        return does_not_apply(f"{unit.tag} is at other than a one- or two-family dwelling")
    ways = list(_ways(unit, given))
    found = any_of(f"{unit.tag}: shut off from outside", ways) if ways else None
    judgement = found or require(fact=False, message=f"{unit.tag}: nothing shuts it off from outside")
    claims = [_by_control(handle.tag, unit, given) for handle in stopping_handles(given.system, unit) if handle.tag != unit.tag]
    if claims:
        # Where another way holds too, what placard and plate say of this switch still rests on its circuit.
        judgement = all_of(judgement.message, [judgement, *claims])
    return judgement if small or judgement.holds else not_judged(f"of which dwelling {unit.tag} is (place, building)")


def _ways(unit: EnergyStorageSystem, given: Given) -> Iterator[Judgement]:
    """Yield what shuts the unit off: what stops it by control, switches and breakers that part it, an emergency switch of its own."""
    system = given.system
    handles = {handle.id: handle for handle in (*stopping_handles(system, unit), *parting_handles(system, unit))}
    for handle in sorted(handles.values(), key=lambda each: each.kind == BREAKER):
        yield replace(_outside(_name(unit, handle), unit, handle.tag, handle.place, given), method=handle.id)
    if unit.answer("emergency_shutdown") and unit.place is not None and unit.place.outdoors:
        yield _outside("its own switch", unit, unit.tag, unit.place, given)


def _by_control(tag: str, unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge that turning off the switch ``tag`` reaches the unit: over a control circuit that stops it when opened."""
    loops = stop_loops(given.system, tag, RAPID_SHUTDOWN, EMERGENCY_SHUTDOWN)
    if not loops:
        return not_judged(f"control circuit of {tag} for emergency shutdown")
    message = f"{tag} stops {unit.tag} over {' and '.join(loop.tag for loop in loops)}"
    return opened_at(tag, loops, (f"stops {unit.tag}", f"does not stop {unit.tag}"), message)


def _name(unit: EnergyStorageSystem, handle: Handle) -> str:
    if handle.tag == unit.tag:
        return "its own switch"
    return f"the breaker {handle.id}" if handle.kind == BREAKER else handle.id


def _outside(what: str, unit: EnergyStorageSystem, tag: str, place: Place | None, given: Given) -> Judgement:
    outdoors = place.outdoors if place is not None else None
    access = place.readily_accessible if place is not None else None
    parts = [
        require(outdoors, f"{what} is {'outdoors' if outdoors else 'indoors'}", missing=f"whether {tag} is outside"),
        require(access, f"{what} is {'' if access else 'not '}readily accessible", missing=f"whether {tag} is readily accessible"),
    ]
    if not stand_at_one_structure(given, unit.tag, tag):
        message = f"{what} is outside another building than the one of {unit.tag}"
        parts.append(require(fact=False, message=message, otherwise=Verdict.CAUTION))
    return all_of(f"{what} is outdoors, readily accessible", parts)
