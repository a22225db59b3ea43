"""A second building has a disconnect for what supplies it, readily accessible and large enough.

15 A for one branch circuit, 30 A for two of two wires each, 100 A for a one-family dwelling, otherwise 60 A; the feeder's own device
may be smaller than the disconnect.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_least
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.siting_buildings import disconnect_rating_of, is_stated_dwelling, supply_of_second_building
from permitgen.rules.rule import rule
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.values.value import Value


@rule("outside-disconnect", provision="outside_disconnect", judges="circuit")
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the equipment on which the supply of a second building ends.

    Requires: a disconnect there, readily accessible, of at least the building's smallest rating.
    Why: people in that building must be able to make it dead without running to the house.
    Applies to: feeders and branch circuits to a detached building.
    Example that fails: feeder to a detached garage that ends in a panel with main lugs only.
    Example that passes: the same feeder on a panel with a 60 A main breaker.
    """
    supply = supply_of_second_building(given, circuit)
    if supply is None or role(given, circuit).is_source_output:
        return does_not_apply(f"{circuit.tag}: supplies no second building")
    item = supply.equipment
    rating = disconnect_rating_of(item)
    if rating is None:
        return require(fact=False, message=f"{circuit.tag}: ends at {item.tag} in {supply.building}, which has no main disconnect")
    place = item.place
    accessible = place.readily_accessible if place is not None else None
    parts = [
        require(accessible, f"{item.tag}: readily accessible in {supply.building}", missing=f"whether {item.tag} is readily accessible"),
        _large_enough(given, circuit, item, supply.building, rating),
    ]
    return all_of(f"{circuit.tag}: {item.tag} disconnects {supply.building}", parts)


def _large_enough(given: Given, circuit: Circuit, item: Equipment, building: str, rating: Value) -> Judgement:
    provision = given.provision("outside_disconnect_rating")
    limit = provision.value(_field(given, circuit, item, building))
    message = f"{item.tag}: disconnect of {rating.number:g} A for {building}, at least {limit.number:g} A"
    return require_at_least(message, computed=rating, limit=limit).under(provision)


def _field(given: Given, circuit: Circuit, item: Equipment, building: str) -> str:
    number = 1 if role(given, circuit) is CircuitRole.BRANCH else _two_wire_branches(given, item)
    if number is not None and number <= 2:
        return "one_circuit_a" if number <= 1 else "two_circuits_a"
    return "one_family_a" if given.need(is_stated_dwelling(given, building), f"whether {building} is a dwelling") else "other_a"


def _two_wire_branches(given: Given, item: Equipment) -> int | None:
    """How many branch circuits a building's panel has, where the file shows all of them and each has two wires; else None."""
    if not isinstance(item, Panelboard) or not item.answer("all_breakers_in_file"):
        return None
    if any(load.panel == item.tag for load in given.system.loads.values()):
        return None
    circuits = (given.system.circuits[tag] for tag in given.system.circuits_at[item.tag])
    leaving = [c for c in circuits if any(end.tag == item.tag and end.position is not None for end in c.ends)]
    wires = [c.conductors.ungrounded_count + int(c.conductors.has_neutral) for c in leaving]
    if any(number > 2 for number in wires) or any(role(given, c) is not CircuitRole.BRANCH for c in leaving):
        return None
    return len(leaving)
