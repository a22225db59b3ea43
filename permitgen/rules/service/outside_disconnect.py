"""A second building has a disconnect for what supplies it, readily accessible and large enough.

15 A for one branch circuit, 30 A for two of two wires each, 100 A for a one-family dwelling, otherwise 60 A; the feeder's own device
may be smaller than the disconnect. Up to six breakers of a panel without a main may be the disconnects together.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import (
    Judgement,
    all_of,
    does_not_apply,
    either_way,
    not_judged,
    require,
    require_at_least,
    require_at_most,
)
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.building_use import is_one_family_at, question
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.siting_buildings import disconnect_rating_of, supply_of_second_building
from permitgen.rules.rule import rule
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.panel_rows import panel_rows, shows_all_breakers
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "outside-disconnect",
    title="A second building has a disconnect for what supplies it, readily accessible and large enough",
    provision="outside_disconnect",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the equipment on which the supply of a second building ends.

    Requires: a disconnect there, or at most six breakers together, readily accessible, of at least the building's smallest rating.
    Why: people in that building must be able to make it dead without running to the house.
    Applies to: feeders and branch circuits to a building that stands by itself, also to the house behind a service on a pole.
    Example that fails: feeder to a detached garage that ends in a panel with main lugs only and seven breakers.
    Example that passes: the same feeder on a panel with a 60 A main breaker.
    """
    supply = supply_of_second_building(given, circuit)
    if supply is None or role(given, circuit).is_source_output:
        return does_not_apply(f"{circuit.tag}: supplies no second building")
    item = supply.equipment
    rating = disconnect_rating_of(item)
    if rating is None and item.supply_main is not None:
        return not_judged(f"rating of the main of {item.tag}")
    if rating is None and not isinstance(item, Panelboard):
        return require(fact=False, message=f"{circuit.tag}: ends at {item.tag} in {supply.building}, which has no main disconnect")
    place = item.place
    accessible = place.readily_accessible if place is not None else None
    parts = [
        require(accessible, f"{item.tag}: readily accessible in {supply.building}", missing=f"whether {item.tag} is readily accessible")
    ]
    building = supply.building
    parts += parts_of(
        lambda: (
            _large_enough(given, circuit, item, building, rating) if rating is not None else _by_breakers(given, circuit, item, building)
        )
    )
    return all_of(f"{circuit.tag}: {item.tag} disconnects {supply.building}", parts)


def _by_breakers(given: Given, circuit: Circuit, item: Equipment, building: str) -> list[Judgement]:
    few = _few_enough(given, item, len(panel_rows(given.system, item.tag)))
    if not few.holds:
        return [few]
    devices = _breakers(given, item)
    rating = sum_of(devices, symbol="ΣOCPD", title=f"breakers of {item.tag} together", unit="a")
    return [few, *parts_of(lambda: _large_enough(given, circuit, item, building, rating))]


def _breakers(given: Given, item: Equipment) -> list[Value]:
    """The ratings of the breakers of a panel without a main, by which it is switched off.

    Raises:
        MissingFactError: the project does not show all of them, or a rating is not stated.
    """
    given.need(
        shows_all_breakers(given.system, item.tag) or None, f"all breakers of {item.tag}, which has no main and is switched off by them"
    )
    return [
        given.need(row.device.rating_a if row.device is not None else None, f"rating of the breaker of {row.tag} in {item.tag}")
        for row in panel_rows(given.system, item.tag)
    ]


def _few_enough(given: Given, item: Equipment, number: int) -> Judgement:
    provision = given.provision("outside_disconnect_count")
    count = Value(float(number), "count", FromSystem("counted on the graph"), "n", f"breakers that disconnect {item.tag}")
    message = f"{item.tag}: no main, {number} breakers switch it off"
    return require_at_most(message, computed=count, limit=provision.value("largest_count")).under(provision)


def _large_enough(given: Given, circuit: Circuit, item: Equipment, building: str, rating: Value) -> Judgement:
    provision = given.provision("outside_disconnect_rating")
    limits = [provision.value(field) for field in _fields(given, circuit, item, building)]
    readings = [
        require_at_least(
            f"{item.tag}: disconnect of {rating.figure} A for {building}, at least {limit.figure} A", computed=rating, limit=limit
        ).under(provision)
        for limit in limits
    ]
    return either_way(readings, question(building))


def _fields(given: Given, circuit: Circuit, item: Equipment, building: str) -> tuple[str, ...]:
    """The limits that may bind: one, or two where the project leaves open whether the building is a one-family dwelling."""
    number = 1 if role(given, circuit) is CircuitRole.BRANCH else _two_wire_branches(given, item)
    if number is not None and number <= 2:
        return ("one_circuit_a" if number <= 1 else "two_circuits_a",)
    one_family = is_one_family_at(given, building)
    return ("one_family_a", "other_a") if one_family is None else ("one_family_a" if one_family else "other_a",)


def _two_wire_branches(given: Given, item: Equipment) -> int | None:
    """How many branch circuits a building's panel has, where the file shows all of them and each has two wires; else None."""
    rows = panel_rows(given.system, item.tag)
    if not isinstance(item, Panelboard) or not shows_all_breakers(given.system, item.tag) or any(row.circuit is None for row in rows):
        return None
    leaving = [row.circuit for row in rows if row.circuit is not None]
    wires = [c.conductors.ungrounded_count + int(c.conductors.has_neutral) for c in leaving]
    if not leaving or any(number > 2 for number in wires) or any(role(given, c) is not CircuitRole.BRANCH for c in leaving):
        return None
    return len(leaving)
