"""Which buildings of the project are one structure, and which circuits lead to a second one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import role
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.site.building import ALONE, STRUCTURE_USES, StatedBuilding
from permitgen.system.site.geometry import AT_WALL_FT, Point, distance_between, distance_to_outline
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.service_path import circuits_toward_utility

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.values.value import Value

# Outlines drawn to a tenth of a foot may miss each other by that much.
TOUCHING_FT = 0.2


@dataclass(frozen=True, slots=True)
class OutsideSupply:
    """A circuit that supplies a second building: ``equipment`` is where it ends there.

    ``building`` is empty where nobody says at which building one of its ends is;
    ``drawn`` is False then, and where neither outlines nor words tell whether the buildings are one structure.
    """

    building: str
    circuit: Circuit
    equipment: Equipment
    drawn: bool


def outlines_of(given: Given) -> dict[str, tuple[Point, ...]]:
    """Return the outlines of the buildings on the site plan by name, remembered."""
    return given.once_for_topology("building outlines", lambda: {b.name: b.outline for b in given.system.site.plan.buildings})


def are_one_structure(given: Given, first: str, second: str) -> bool:
    """Whether two buildings are one structure: the same name, said to be attached, or outlines that touch; directly or by a third.

    What is said to stand by itself is a structure of its own, wherever its outline is drawn.
    """
    return second in structure_of(given, first)


def stand_at_one_structure(given: Given, first: str, second: str) -> bool:
    """Whether two pieces of equipment are not known to stand at different structures."""
    names = [_building(given, given.system.equipment[tag]) for tag in (first, second)]
    return not all(names) or are_one_structure(given, str(names[0]), str(names[1]))


def structure_of(given: Given, name: str) -> frozenset[str]:
    """Return the names of the buildings that are one structure with the one named, its own among them, remembered."""
    return given.once_for_topology(("structure", name), lambda: _structure(given, name))


def has_several_structures(given: Given) -> bool:
    """Whether the project knows buildings or structures that are not one."""
    return len({structure_of(given, name) for name in _names(given)}) > 1


def _names(given: Given) -> set[str]:
    return {*outlines_of(given), *(stated.name for stated in given.system.site.buildings)}


def _structure(given: Given, name: str) -> frozenset[str]:
    names = _names(given)
    found = {name}
    waiting = [name]
    while waiting:
        here = waiting.pop()
        joined = [other for other in names - found if _are_joined(given, here, other)]
        found.update(joined)
        waiting += joined
    return frozenset(found)


def _are_joined(given: Given, here: str, other: str) -> bool:
    shapes, site = outlines_of(given), given.system.site
    first, second = site.stated_building(here), site.stated_building(other)
    if first.attached_to == other or second.attached_to == here:
        return True
    if _stands_alone(first) or _stands_alone(second):
        return False
    drawn, beside = shapes.get(here), shapes.get(other)
    return bool(drawn and beside) and distance_between(drawn or (), beside or ()) <= TOUCHING_FT


def _stands_alone(stated: StatedBuilding) -> bool:
    return stated.attached_to == ALONE or stated.use in STRUCTURE_USES


def are_told_apart(given: Given, first: str, second: str) -> bool:
    """Whether two buildings are known to be structures of their own."""
    return not are_one_structure(given, first, second) and is_structure_told(given, first, second)


def is_structure_told(given: Given, first: str, second: str) -> bool:
    """Whether the project tells if two buildings are one structure: by its words, or by the outlines of both."""
    stated = [given.system.site.stated_building(name) for name in (first, second)]
    return any(_stands_alone(each) for each in stated) or all(outlines_of(given).get(name) for name in (first, second))


def supply_of_second_building(given: Given, circuit: Circuit) -> OutsideSupply | None:
    """Return what ``circuit`` supplies in a second building, None where it does not lead to one.

    Raises:
        MissingFactError: neither outlines on the site plan nor words show whether the buildings at its ends are one structure.
    """
    supply = next((found for found in outside_supplies(given) if found.circuit is circuit), None)
    if supply is not None and not supply.drawn:
        for item in (given.system.equipment[end.tag] for end in circuit.ends):
            if item.is_of_a_building:
                building_of(given, item.tag)
        raise MissingFactError(f"outlines on the site plan or attached_to, to show whether {supply.building} is a building of its own")
    return supply


def outside_supplies(given: Given) -> tuple[OutsideSupply, ...]:
    """Return the circuits that lead from one building to another that is not one structure with it, remembered.

    The end farther from the utility is in the building supplied; circuits to equipment on the ground or on a roof do not count. A
    circuit from a pole, a pedestal or other equipment in the open supplies the building to which it leads, unless it comes from there.
    """
    # By tag: a circuit of another size is another object, and what is kept of the topology outlives it.
    found = given.once_for_topology(
        "outside supplies", lambda: tuple((s.building, s.circuit.tag, s.equipment.tag, s.drawn) for s in _find(given))
    )
    circuits, equipment = given.system.circuits, given.system.equipment
    return given.once(
        "outside supplies", lambda: tuple(OutsideSupply(name, circuits[tag], equipment[to], drawn=drawn) for name, tag, to, drawn in found)
    )


def _find(given: Given) -> list[OutsideSupply]:
    found = []
    reached = given.system.graph.reach(given.system.utility_nodes, lambda link: OperatingMode.WITH_UTILITY in link.closed_in)
    order = {node: index for index, node in enumerate(reached)}
    for circuit in given.system.circuits.values():
        if circuit.is_dc or role(given, circuit) is CircuitRole.SERVICE:
            continue
        near, far = sorted(("start", "finish"), key=lambda end: order.get(f"{circuit.tag}.{end}", len(order)))
        tags = {"start": circuit.start.tag, "finish": circuit.finish.tag}
        here, there = given.system.equipment[tags[near]], given.system.equipment[tags[far]]
        buildings = [_building(given, item) for item in (here, there)]
        if buildings[1] == "":
            continue
        if None in buildings:
            found.append(OutsideSupply("", circuit, there, drawn=False))
            continue
        first, second = (str(name) for name in buildings)
        if first and second and not are_one_structure(given, first, second):
            found.append(OutsideSupply(second, circuit, there, is_structure_told(given, first, second)))
        elif second and not first and _stands_in_the_open(here) and _is_first_from(given, circuit, f"{circuit.tag}.{near}", second):
            found.append(OutsideSupply(second, circuit, there, drawn=True))
    return found


def _stands_in_the_open(item: Equipment) -> bool:
    """Whether equipment with switches or breakers is known to stand outdoors away from every building: a pole, a pedestal, a pad."""
    return item.place is not None and item.is_of_a_building


def _is_first_from(given: Given, circuit: Circuit, node: str, building: str) -> bool:
    """Whether the utility reaches the near end of a circuit without having been in the building already."""
    ends = {circuit.start.tag, circuit.finish.tag}
    way = circuits_toward_utility(given.system, node)
    standing = [_building(given, given.system.equipment[end.tag]) for before in way for end in before.ends if end.tag not in ends]
    return bool(way) and not any(name and are_one_structure(given, name, building) for name in standing)


def supplies_of_buildings(given: Given) -> tuple[OutsideSupply, ...]:
    """Return those that bring a building its power: a circuit of sources alone supplies none (225.30 leaves power production out)."""
    return tuple(supply for supply in outside_supplies(given) if not role(given, supply.circuit).is_source_output)


def is_in_second_building(given: Given, item: Equipment | None) -> bool:
    """Whether a piece of equipment stands in a building that a circuit from another building supplies."""
    building = building_of(given, item.tag) if item is not None and item.is_of_a_building else ""
    return bool(building) and any(are_one_structure(given, supply.building, building) for supply in outside_supplies(given))


def keeps_three_wires(given: Given, circuit: Circuit) -> bool:
    """Whether a circuit is an existing feeder to a second building that brings a neutral and no equipment grounding conductor."""
    conductors = circuit.conductors
    old = circuit.existing and conductors.has_no_egc and conductors.has_neutral
    return old and any(supply.circuit.tag == circuit.tag for supply in outside_supplies(given))


def disconnect_rating_of(item: Equipment) -> Value | None:
    """Return the rating of the disconnect in which the supply of a building ends, A; None where it ends in none.

    The main of a panel, of a transfer switch or of an interconnect device disconnects what is behind it, and so does a switch.
    """
    if item.supply_main is not None:
        return item.supply_main.rating_a
    if isinstance(item, Disconnect):
        return item.rating_a or (item.device.rating_a if item.device is not None else None)
    return None


def building_of(given: Given, tag: str) -> str:
    """Return the building at which a piece of equipment stands: as stated, else the one whose outline on the plan it stands in or at.

    Empty where it stands outdoors away from every building.

    Raises:
        MissingFactError: several buildings stand on the site, and neither the file nor the plan says which.
    """
    place = given.system.equipment[tag].place
    if place is None or place.building:
        return place.building if place is not None else ""
    if place.is_in_the_open:
        return ""
    if place.x_ft is not None and place.y_ft is not None:
        point = (place.x_ft.number, place.y_ft.number)
        distances = {name: distance_to_outline(shape, point) for name, shape in outlines_of(given).items() if shape}
        nearest = min(distances, key=lambda name: distances[name], default="")
        if nearest and distances[nearest] <= AT_WALL_FT:
            return nearest
        if place.outdoors:
            return ""
    raise MissingFactError(f"building of {tag}")


def _building(given: Given, item: Equipment) -> str | None:
    """Return the building, empty for what stands in none, None where nobody says."""
    if item.place is None or not item.is_of_a_building:
        return ""
    try:
        return building_of(given, item.tag)
    except MissingFactError:
        return None
