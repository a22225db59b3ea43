"""Large vehicle supply equipment has a readily accessible disconnect that can be locked open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, at_most, does_not_apply, one_or_all_of, require
from permitgen.rules.quantities.circuit_current import line_to_neutral
from permitgen.rules.quantities.vehicle_supply import circuits_of
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.walks.in_series import devices_in_series, links_of_circuit

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.equipment.utilization import EVSupplyEquipment


@rule(
    "vehicle-disconnect",
    title="Large vehicle supply equipment has a readily accessible disconnect that can be locked open",
    provision="ev_disconnect",
    judges="ev_supply_equipment",
)
def judge(item: EVSupplyEquipment, given: Given) -> Judgement:
    """Judge the disconnect of one charger.

    Requires: a switch or breaker, readily accessible and lockable open.
    Why: nobody can hold a plug of that size while it is live, and whoever repairs the unit must be sure of it.
    Applies to: equipment above 60 A, or above 150 V to ground.
    Example that fails: an 80 A charger on a breaker that cannot be locked, without a switch.
    Example that passes: the same with a lockable switch beside it.
    """
    provision = given.provision("ev_disconnect")
    current = given.need(item.current_a, f"rated current of {item.tag}")
    if at_most(current, provision.value("above_a")) and at_most(line_to_neutral(given), provision.value("above_v")):
        return does_not_apply(f"{item.tag}: {current.figure} A, and no more than {provision.value('above_v').figure} V to ground")
    parts = [_of_circuit(item, circuit, given) for circuit in circuits_of(given, item)]
    return one_or_all_of(f"{item.tag}: each of its circuits has a disconnect", parts)


def _of_circuit(item: EVSupplyEquipment, circuit: Circuit, given: Given) -> Judgement:
    methods = [*_switches(given, circuit), *_breakers(given, circuit)]
    if not methods:
        return require(fact=False, message=f"{item.tag}: nothing disconnects it")
    return any_of(f"{item.tag}", methods)


def _switches(given: Given, circuit: Circuit) -> list[Judgement]:
    items = (given.system.equipment.get(link.handle) for link in links_of_circuit(given.system, circuit))
    return [_method(item, item.tag, item.lockable) for item in items if isinstance(item, Disconnect)]


def _breakers(given: Given, circuit: Circuit) -> list[Judgement]:
    found = [each for each in devices_in_series(given.system, circuit) if each.device.kind == "circuit breaker"]
    return [_method(given.system.equipment[each.enclosure], each.tag, each.device.answer("lockable")) for each in found]


def _method(item: Equipment, tag: str, lockable: bool | None) -> Judgement:  # noqa: FBT001
    reach = item.place.readily_accessible if item.place is not None else None
    parts = [
        require(lockable, f"{tag} {'can' if lockable else 'cannot'} be locked open", missing=f"whether {tag} can be locked open"),
        require(reach, f"{item.tag} is {'' if reach else 'not '}readily accessible", missing=f"whether {item.tag} is readily accessible"),
    ]
    return all_of(f"{tag} disconnects it, readily accessible and lockable", parts)
