"""A dwelling that an outside feeder supplies has an emergency disconnect outdoors and surge protection (from 2023)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, require
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.building_use import is_dwelling_at, is_small_dwelling_at, question
from permitgen.rules.quantities.siting_buildings import OutsideSupply, supply_of_second_building
from permitgen.rules.rule import rule
from permitgen.rules.service.surge_protection import judge_device
from permitgen.system.walks.service_path import circuits_toward_utility
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.place import Place


@rule(
    "outside-dwelling",
    title="A dwelling that an outside feeder supplies has an emergency disconnect outdoors and surge protection (from 2023)",
    provision="outside_emergency_disconnect",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the supply of a second dwelling: emergency disconnect and surge protection.

    Requires: at a one- or two-family dwelling a disconnect outdoors and readily accessible, that of the building or one ahead of it in
        sight; a surge-protective device of 10 kA at the building.
    Why: firefighters need the same at a dwelling behind a feeder as at one with a service.
    Applies to: new or replaced feeders and equipment of another building that is a dwelling, also of the house behind a service on a pole.
    Example that fails: guest house whose only disconnect is the panel in its hall.
    Example that passes: disconnect on its outside wall, surge protection of 10 kA in it.
    """
    supply = supply_of_second_building(given, circuit)
    if supply is None or not given.need(is_dwelling_at(given, supply.building), question(supply.building)):
        return does_not_apply(f"{circuit.tag}: supplies no second dwelling")
    item = supply.equipment
    if circuit.existing and item.status == "existing":
        return does_not_apply(f"{circuit.tag}: the feeder and {item.tag} are existing and stay")
    parts = parts_of(
        lambda: _emergency_disconnect(given, supply) if is_small_dwelling_at(given, supply.building) else None,
        lambda: judge_device(item, given, given.provision("outside_surge_protection")),
    )
    return all_of(f"{circuit.tag}: emergency disconnect and surge protection at {supply.building}", parts)


def _emergency_disconnect(given: Given, supply: OutsideSupply) -> Judgement:
    """The disconnect of the building itself, or one ahead of it in sight of the building."""
    ahead = [_outside(item, supply.building) for item in _ahead_in_sight(given, supply)]
    unsaid = [not_judged(f"whether {item.tag} is in sight of {supply.building}") for item in _ahead_unsaid(given, supply)]
    return any_of(f"{supply.circuit.tag}: emergency disconnect", [_outside(supply.equipment, supply.building), *ahead, *unsaid])


def emergency_disconnect_of(given: Given, supply: OutsideSupply) -> Equipment | None:
    """Return the disconnect outdoors that serves as emergency disconnect: that of the building, else one ahead of it in sight.

    Raises:
        MissingFactError: none is known to, and of one nobody says whether it is outdoors and readily accessible.
    """
    items = [supply.equipment, *_ahead_in_sight(given, supply)]
    found = next((item for item in items if is_outdoors_at_hand(item.place)), None)
    silent = next((item for item in items if is_outdoors_at_hand(item.place) is None), None)
    if found is None and silent is not None:
        raise MissingFactError(f"place of {silent.tag}")
    return found


def _ahead_in_sight(given: Given, supply: OutsideSupply) -> list[Equipment]:
    seen = {supply.equipment.tag, supply.building}
    return [item for item in _switches_ahead(given, supply) if item.place is not None and seen & set(item.place.in_sight_of)]


def _ahead_unsaid(given: Given, supply: OutsideSupply) -> list[Equipment]:
    """Return the switches ahead that may serve, of which nobody says what is in sight of them."""
    ahead = _switches_ahead(given, supply)
    return [i for i in ahead if i.place is not None and not i.place.in_sight_of and is_outdoors_at_hand(i.place) is not False]


def _switches_ahead(given: Given, supply: OutsideSupply) -> list[Equipment]:
    end = next(
        name for name, end in (("start", supply.circuit.start), ("finish", supply.circuit.finish)) if end.tag == supply.equipment.tag
    )
    passed = circuits_toward_utility(given.system, f"{supply.circuit.tag}.{end}")
    tags = dict.fromkeys(end.tag for circuit in passed for end in circuit.ends if end.tag != supply.equipment.tag)
    items = [given.system.equipment[tag] for tag in tags]
    return [item for item in items if item.can_disconnect_building or item.supply_main is not None]


def is_outdoors_at_hand(place: Place | None) -> bool | None:
    """Whether a place is outdoors and readily accessible; None where the project does not say."""
    facts = (place.outdoors, place.readily_accessible) if place is not None else (None, None)
    return False if False in facts else None if None in facts else True


def _outside(item: Equipment, building: str) -> Judgement:
    outside = is_outdoors_at_hand(item.place)
    where = "outdoors, readily accessible" if outside else "not outdoors or not readily accessible"
    return require(outside, f"{item.tag}: disconnect of {building} {where}", missing=f"place of {item.tag}")
