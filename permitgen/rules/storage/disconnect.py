"""A storage system has a disconnect: in the unit, in sight and near, or from 2020 elsewhere and lockable."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.walks.reach_of_hand import is_in_sight, plan_distance_ft
from permitgen.system.walks.source_switches import separating_handles

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "ess-disconnect",
    title="A storage system has a disconnect: in the unit, in sight and near, or from 2020 elsewhere and lockable",
    provision="ess_disconnect",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge where the disconnect of one storage unit stands.

    Requires: a readily accessible disconnect within the unit, or in sight and near, or elsewhere and lockable open. Near is 10 ft
        from 2020; in 2017 in sight is 50 ft and elsewhere is not permitted, for a remote control is no disconnect.
    Why: whoever works on the unit must be able to open it and to see that it stays open.
    Applies to: energy storage systems.
    Example that fails: a plain switch in another room that cannot be locked.
    Example that passes: the switch built into the unit.
    """
    switches = switches_of(unit, given)
    methods = [_in_unit(unit), *(_near(unit, switch, given) for switch in switches)]
    if given.provision("ess_disconnect").flag("elsewhere_permitted"):
        methods += [_elsewhere(unit, switch) for switch in switches]
    judgement = any_of(f"{unit.tag}: its disconnect", methods)
    if not switches and unit.has_disconnect is False:
        return require(fact=False, message=f"{unit.tag} has no disconnect of its own and none on its circuit")
    return judgement


def switches_of(unit: EnergyStorageSystem, given: Given) -> list[Disconnect]:
    """Return the switches in enclosures of their own that part a storage unit from all else, the nearest first."""
    sources = tuple(s for s in given.system.sources.values() if s.tag == unit.tag)
    items = [given.system.equipment.get(handle.tag) for handle in separating_handles(given.system, sources)]
    return [item for item in items if isinstance(item, Disconnect)]


def _accessible(item: Equipment) -> Judgement:
    answer = item.place.readily_accessible if item.place is not None else None
    return require(
        answer, f"{item.tag} is {'' if answer else 'not '}readily accessible", missing=f"whether {item.tag} is readily accessible"
    )


def _in_unit(unit: EnergyStorageSystem) -> Judgement:
    if unit.has_disconnect is None:
        return replace(not_judged(f"whether {unit.tag} has a disconnect of its own"), method="in the unit")
    if not unit.has_disconnect:
        return replace(does_not_apply(f"{unit.tag} has no disconnect of its own"), method="in the unit")
    own = require(fact=True, message=f"{unit.tag} has a disconnect of its own")
    return replace(all_of("a readily accessible disconnect in the unit", [own, _accessible(unit)]), method="in the unit")


def _near(unit: EnergyStorageSystem, switch: Disconnect, given: Given) -> Judgement:
    limit = given.provision("ess_disconnect").value("within_ft").named("d_max")
    sight, distance = is_in_sight(unit, switch), plan_distance_ft(unit, switch)
    seen = require(
        sight, f"{switch.tag} is {'' if sight else 'not '}in sight of {unit.tag}", missing=f"whether {switch.tag} is in sight of {unit.tag}"
    )
    near = not_judged(f"distance from {unit.tag} to {switch.tag}")
    if distance is not None:
        near = require_at_most(f"{switch.tag} is {distance.number:.3g} ft from {unit.tag}", computed=distance, limit=limit)
    return replace(all_of(f"{switch.tag} within sight and reach", [seen, near, _accessible(switch)]), method="in sight")


def _elsewhere(unit: EnergyStorageSystem, switch: Disconnect) -> Judgement:
    locks = switch.lockable
    message = f"{switch.tag}, away from {unit.tag}, {'can' if locks else 'cannot'} be locked open"
    lockable = require(locks, message, missing=f"whether {switch.tag} can be locked open")
    return replace(all_of(message, [lockable, _accessible(switch)]), method="lockable")
