"""A second building is supplied by one feeder or branch circuit, unless further ones serve power production.

A multiwire branch circuit counts as one. Storage, solar and generators at the second building may have circuits of their own. From
2020 up to six feeders may come from the same equipment, where each ends in one disconnect and those are grouped.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, require, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.siting_buildings import (
    OutsideSupply,
    disconnect_rating_of,
    supplies_of_buildings,
    supply_of_second_building,
)
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Whole
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "outside-supply-count",
    title="A second building is supplied by one feeder or branch circuit, unless further ones serve power production",
    provision="outside_feeder_count",
    judges="system",
)
def judge(_subject: Whole, given: Given) -> Judgement:
    """Judge how many circuits supply each building other than the one with the service.

    Requires: one feeder or branch circuit for each further building; those of power sources do not count; from 2020 else at most
        six feeders from the same equipment, each to one disconnect, grouped.
    Why: whoever opens the disconnect of a building must be sure that it is dead.
    Applies to: detached buildings.
    Example that fails: a detached garage with two branch circuits of its own.
    Example that passes: a detached garage with one feeder, and the circuit of a storage unit beside it.
    """
    supplies: dict[str, list[OutsideSupply]] = defaultdict(list)
    for supply in supplies_of_buildings(given):
        if not supply.building:
            supply_of_second_building(given, supply.circuit)
        if supply.drawn:
            supplies[supply.building].append(supply)
    if not supplies:
        return does_not_apply("no circuit supplies a second building")
    parts = parts_for(supplies.items(), lambda each: _building(given, *each))
    return all_of("one circuit supplies each further building", parts)


def _building(given: Given, building: str, supplies: list[OutsideSupply]) -> Judgement:
    provision = given.provision("outside_feeder_count")
    tags = ", ".join(supply.circuit.tag for supply in supplies)
    number = Value(float(len(supplies)), "count", FromSystem("counted on the graph"), "n", f"circuits that supply {building}")
    alone = require_at_most(f"{building}: supplied by {tags}", computed=number, limit=provision.value("largest_count"))
    if alone.holds or not provision.has("same_equipment_count"):
        return alone
    return any_of(building, [alone, _from_one_place(given, building, supplies, number)])


def _from_one_place(given: Given, building: str, supplies: list[OutsideSupply], number: Value) -> Judgement:
    """Feeders from the same equipment, each ending in one disconnect, those in one group."""
    if any(role(given, supply.circuit) is CircuitRole.BRANCH for supply in supplies):
        return does_not_apply(f"{building}: a branch circuit is among them")
    origins = {end.tag for supply in supplies for end in supply.circuit.ends} - {supply.equipment.tag for supply in supplies}
    lacking = [supply.equipment.tag for supply in supplies if disconnect_rating_of(supply.equipment) is None]
    if len(origins) != 1 or lacking:
        return does_not_apply(f"{building}: not all from the same equipment to one disconnect each")
    limit = given.provision("outside_feeder_count").value("same_equipment_count")
    message = f"{building}: {len(supplies)} feeders from {min(origins)}, each to one disconnect"
    few = require_at_most(message, computed=number, limit=limit)
    return all_of(message, [few, *parts_of(lambda: _grouped(given, [supply.equipment for supply in supplies]))])


def _grouped(given: Given, items: list[Equipment]) -> Judgement:
    """Disconnects are grouped where each stands in sight of another one, by the project's word."""
    tags = {item.tag for item in items}
    alone = [item for item in items if len(tags) > 1 and not tags & set(given.need(item.place, f"place of {item.tag}").in_sight_of)]
    if alone:
        given.need(None, f"whether {alone[0].tag} is grouped with the other disconnects (place, in_sight_of)")
    return require(fact=True, message=f"{' and '.join(sorted(tags))} grouped")
