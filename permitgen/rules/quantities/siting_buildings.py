"""Which buildings of the project are one structure, and which circuits lead to a second one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import role
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.site.geometry import Point, Polygon, contains, distance_between, distance_to_segment, edges
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.values.value import Value

# Outlines drawn to a tenth of a foot may miss each other by that much.
TOUCHING_FT = 0.2
# Equipment on an outside wall is drawn within this distance of the outline.
AT_WALL_FT = 3.0
_NOT_IN_A_BUILDING = frozenset({"utility_service", "meter", "pv_array", "grounding_electrode_system", "junction_box"})


@dataclass(frozen=True, slots=True)
class OutsideSupply:
    """A circuit that supplies a second building: ``equipment`` is where it ends there.

    ``building`` is empty where nobody says at which building one of its ends is;
    ``drawn`` is False then, and where the site plan lacks an outline, so that nobody can tell whether the buildings are one structure.
    """

    building: str
    circuit: Circuit
    equipment: Equipment
    drawn: bool


def outlines_of(given: Given) -> dict[str, tuple[Point, ...]]:
    """Return the outlines of the buildings on the site plan by name, remembered."""
    return given.once_for_topology("building outlines", lambda: {b.name: b.outline for b in given.system.site.plan.buildings})


def are_one_structure(given: Given, first: str, second: str) -> bool:
    """Whether two buildings are one structure: the same name, or outlines on the site plan that touch, directly or by a third."""
    return second in _structure(given, first)


def _structure(given: Given, name: str) -> frozenset[str]:
    shapes = outlines_of(given)
    found = {name}
    waiting = [name]
    while waiting:
        here = shapes.get(waiting.pop())
        for other, shape in shapes.items():
            if other not in found and here and shape and distance_between(here, shape) <= TOUCHING_FT:
                found.add(other)
                waiting.append(other)
    return frozenset(found)


def supply_of_second_building(given: Given, circuit: Circuit) -> OutsideSupply | None:
    """Return what ``circuit`` supplies in a second building, None where it does not lead to one.

    Raises:
        MissingFactError: the buildings at its ends have no outlines on the site plan that would show whether they are one structure.
    """
    supply = next((found for found in outside_supplies(given) if found.circuit is circuit), None)
    if supply is not None and not supply.drawn:
        for end in (circuit.start.tag, circuit.finish.tag):
            building_of(given, end)
        raise MissingFactError(f"outlines on the site plan, to show whether {supply.building} is a building of its own")
    return supply


def outside_supplies(given: Given) -> tuple[OutsideSupply, ...]:
    """Return the circuits that lead from one building to another that is not one structure with it, remembered.

    The end farther from the utility is in the building supplied; circuits to equipment on the ground or on a roof do not count.
    """
    return given.once_for_topology("outside supplies", lambda: tuple(_find(given)))


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
        if None in buildings:
            found.append(OutsideSupply("", circuit, there, drawn=False))
        elif all(buildings) and not are_one_structure(given, str(buildings[0]), str(buildings[1])):
            found.append(OutsideSupply(str(buildings[1]), circuit, there, all(outlines_of(given).get(str(name)) for name in buildings)))
    return found


def is_in_second_building(given: Given, item: Equipment | None) -> bool:
    """Whether a piece of equipment stands in a building that a circuit from another building supplies."""
    building = building_of(given, item.tag) if item is not None and item.kind not in _NOT_IN_A_BUILDING and item.kind != "generator" else ""
    return bool(building) and any(are_one_structure(given, supply.building, building) for supply in outside_supplies(given))


def is_stated_dwelling(given: Given, building: str) -> bool | None:
    """Whether the site plan says that a building is a dwelling; None where it does not say."""
    found = given.system.site.plan.building(building)
    return found.dwelling if found is not None else None


def keeps_three_wires(given: Given, circuit: Circuit) -> bool:
    """Whether a circuit is an existing feeder to a second building that brings a neutral and no equipment grounding conductor."""
    conductors = circuit.conductors
    old = circuit.existing and conductors.has_no_egc and conductors.has_neutral
    return old and any(supply.circuit.tag == circuit.tag for supply in outside_supplies(given))


def disconnect_rating_of(item: Equipment) -> Value | None:
    """Return the rating of the disconnect in which the supply of a building ends, A; None where it ends in none."""
    if isinstance(item, Panelboard) and item.main is not None:
        return item.main.rating_a
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
    if place.x_ft is not None and place.y_ft is not None:
        point = (place.x_ft.number, place.y_ft.number)
        distances = {name: _distance(shape, point) for name, shape in outlines_of(given).items() if shape}
        nearest = min(distances, key=lambda name: distances[name], default="")
        if nearest and distances[nearest] <= AT_WALL_FT:
            return nearest
        if place.outdoors:
            return ""
    raise MissingFactError(f"building of {tag}")


def _distance(shape: Polygon, point: Point) -> float:
    """Return how far a point lies from a building, ft; nothing where it lies inside."""
    return 0.0 if contains(shape, point) else min(distance_to_segment(point, *edge) for edge in edges(shape))


def _building(given: Given, item: Equipment) -> str | None:
    """Return the building, empty for what stands in none, None where nobody says."""
    if item.place is None or item.kind in _NOT_IN_A_BUILDING or item.kind == "generator":
        return ""
    try:
        return building_of(given, item.tag)
    except MissingFactError:
        return None
