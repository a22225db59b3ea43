"""Facts about the service: its disconnects, their locations, and what else supplies the building."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.subject import Fact, Found, LabelSubject, each_once, on_equipment, on_handle, one_a_location
from permitgen.rules.quantities.dwelling_carried import serves_small_dwelling
from permitgen.rules.quantities.dwelling_units import units_behind
from permitgen.rules.quantities.grouped_places import groups_of
from permitgen.rules.quantities.service_disconnects import ServiceDisconnect, reached_from, service_side
from permitgen.rules.quantities.siting_buildings import building_of, structure_of, supplies_of_buildings
from permitgen.rules.service.outside_dwelling import is_outdoors_at_hand
from permitgen.rules.service.service_count import buildings_of_service, supply_one_structure
from permitgen.system.equipment.utility_service import UtilityService
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.equipment.equipment import Equipment


def _subjects(evaluation: Evaluation, disconnects: Iterable[ServiceDisconnect]) -> tuple[LabelSubject, ...]:
    system = evaluation.system
    return each_once(on_handle(system, system.handles[found.handle]) for found in disconnects)


def main_disconnects(evaluation: Evaluation) -> tuple[LabelSubject, ...]:
    """Return the service disconnects of the loads; those of sources on the supply side are left out."""
    return _subjects(evaluation, service_side(evaluation.given).of_loads)


def disconnects_at(evaluation: Evaluation, subject: LabelSubject) -> tuple[ServiceDisconnect, ...]:
    """Return the service disconnects of the loads that a label stands on."""
    found = service_side(evaluation.given).of_loads
    return tuple(each for each in found if _subjects(evaluation, (each,))[0].tag == subject.tag)


def source_service_disconnects(evaluation: Evaluation) -> tuple[LabelSubject, ...]:
    """Return the disconnects of sources that are connected on the supply side of the service disconnect."""
    return _subjects(evaluation, service_side(evaluation.given).of_sources)


def service_locations(evaluation: Evaluation) -> tuple[LabelSubject, ...]:
    """Return one object for each service equipment location: grouped disconnects stand at one."""
    return one_a_location((*main_disconnects(evaluation), *source_service_disconnects(evaluation)))


def service_locations_of_pv(evaluation: Evaluation) -> tuple[LabelSubject, ...]:
    """Return one object for each service equipment location to which PV connects: the disconnect that it connects to."""
    side = service_side(evaluation.given)
    with_pv = [found for found in side.disconnects if any(source.kind == "photovoltaic" for source in found.sources)]
    return one_a_location(_subjects(evaluation, with_pv))


def is_service_disconnect(evaluation: Evaluation) -> Found:
    """The service disconnecting means; the disconnect of a source on the supply side follows the same rules."""
    return each_once((*main_disconnects(evaluation), *source_service_disconnects(evaluation)))


def is_dwelling_emergency_disconnect(evaluation: Evaluation) -> Found:
    """The service disconnects outdoors and at hand of each one- or two-family dwelling whose service equipment is new or replaced."""
    services = [item.tag for item in evaluation.system.equipment.values() if isinstance(item, UtilityService)]
    group = each_once(subject for tag in services for subject in _marked_at(evaluation, tag))
    stands = {subject.tag: is_outdoors_at_hand(subject.place) for subject in group}
    if None in stands.values():
        return None
    return tuple(subject for subject in group if stands[subject.tag])


def _marked_at(evaluation: Evaluation, service: str) -> Iterable[LabelSubject]:
    """The service disconnects behind one service, where it supplies such a dwelling and any of its mains is not existing."""
    given, equipment = evaluation.given, evaluation.system.equipment
    reached = {node.split(".", maxsplit=1)[0] for node in reached_from(given, service)}
    mains = [main for main in main_disconnects(evaluation) if main.equipment in reached]
    if serves_small_dwelling(given, service) is False or all(equipment[main.equipment].status == "existing" for main in mains):
        return ()
    return (*mains, *(found for found in source_service_disconnects(evaluation) if found.equipment in reached))


def is_meter_disconnect(evaluation: Evaluation) -> Found:
    """A switch with the role of a meter disconnect."""
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if "meter disconnect" in item.roles)


def is_other_supply_side_disconnect(evaluation: Evaluation) -> Found:
    """A switch made the emergency disconnect although it is not the service disconnect."""
    items = evaluation.system.equipment.values()
    return tuple(on_equipment(item) for item in items if getattr(item, "purpose", "") == "emergency")


def other_sources_isolated_elsewhere(evaluation: Evaluation) -> Found:
    """The emergency disconnect, where some source is isolated by equipment that does not stand beside it."""
    emergency = is_dwelling_emergency_disconnect(evaluation)
    if not emergency:
        return emergency
    tags = {subject.equipment for subject in emergency}
    kinds = ("source disconnect", "energy storage disconnect", "generator stop", "rapid shutdown initiator")
    elsewhere = [handle for handle in evaluation.system.handles.values() if handle.kind in kinds and handle.tag not in tags]
    return emergency if elsewhere else ()


def source_connected_ahead_of_service_disconnect(evaluation: Evaluation) -> Found:
    """The service disconnects and that of a source ahead of them, where a source is connected on the supply side."""
    of_sources = source_service_disconnects(evaluation)
    return each_once((*main_disconnects(evaluation), *of_sources)) if of_sources else ()


def is_disconnect_of_source_ahead(evaluation: Evaluation) -> Found:
    """The disconnect of a source that is connected on the supply side of the service disconnect."""
    return source_service_disconnects(evaluation)


def building_has_more_than_one_supply(evaluation: Evaluation) -> Found:
    """The disconnects of several services, or of several circuits to a second building.

    Several disconnects of one service are not several services, unless dwelling units have them in places of their own. A source of power
    in a building is no supply of it.
    """
    given = evaluation.given
    found: list[LabelSubject] = []
    try:
        shared = _buildings_of_several_services(evaluation)
    except MissingFactError:
        return None
    found += [main for main in main_disconnects(evaluation) if main.place is not None and main.place.building in shared]
    occupancies = _mains_of_occupancies(evaluation)
    if occupancies is None:
        return None
    found += occupancies
    supplies = supplies_of_buildings(given)
    if any(not supply.building or not supply.drawn for supply in supplies):
        return None
    structures = [structure_of(given, supply.building) for supply in supplies]
    found += [on_equipment(supply.equipment) for supply, built in zip(supplies, structures, strict=True) if structures.count(built) > 1]
    return each_once(found)


def _mains_of_occupancies(evaluation: Evaluation) -> Found:
    """The service disconnects of a building whose dwelling units have theirs in places of their own; each place names the others."""
    given = evaluation.given
    items = [given.system.equipment[tag] for tag in service_side(given).enclosures]
    if len(items) < 2 or not any(units_behind(given, item.tag) for item in items):
        return ()
    try:
        buildings = {item.tag: building_of(given, item.tag) for item in items}
        structures = {tag: structure_of(given, building) if building else frozenset() for tag, building in buildings.items()}
        apart = [items_of for items_of in _by_structure(items, structures) if len(groups_of(given, items_of)) > 1]
    except MissingFactError:
        return None
    tags = {item.tag for items_of in apart for item in items_of}
    return tuple(main for main in main_disconnects(evaluation) if main.equipment in tags)


def _by_structure(items: list[Equipment], structures: Mapping[str, frozenset[str]]) -> list[list[Equipment]]:
    return [[item for item in items if structures[item.tag] == each] for each in dict.fromkeys(structures.values())]


def _buildings_of_several_services(evaluation: Evaluation) -> frozenset[str]:
    """Return the buildings that are parts of a structure with more than one service.

    Raises:
        MissingFactError: there are several services, and a service disconnect has no place.
    """
    given = evaluation.given
    services = [item for item in evaluation.system.equipment.values() if item.kind == "utility_service"]
    several = [a for a in services if any(a is not b and supply_one_structure(given, a, b) for b in services)]
    return frozenset(name for service in several for name in buildings_of_service(given, service))


def building_supplied_by_stand_alone_system(evaluation: Evaluation) -> Found:
    """The main distribution panel of a building without utility."""
    system = evaluation.system
    if system.utility_nodes or not system.sources:
        return ()
    return tuple(on_equipment(system.equipment[tag]) for tag in list(system.busbars)[:1])


def building_has_several_sources(evaluation: Evaluation) -> Found:
    """The same panel, where several sources supply the building."""
    return building_supplied_by_stand_alone_system(evaluation) if len(evaluation.system.sources) > 1 else ()


def is_service_equipment(evaluation: Evaluation) -> Found:
    """The service equipment, for markings that dwellings are exempt from and that are printed on request."""
    return main_disconnects(evaluation)


_ON_SERVICES: tuple[Fact, ...] = (
    is_service_disconnect,
    is_dwelling_emergency_disconnect,
    is_meter_disconnect,
    is_other_supply_side_disconnect,
    other_sources_isolated_elsewhere,
    source_connected_ahead_of_service_disconnect,
    is_disconnect_of_source_ahead,
    building_has_more_than_one_supply,
    building_supplied_by_stand_alone_system,
    building_has_several_sources,
)
FACTS: dict[str, Fact] = {fact.__name__: fact for fact in _ON_SERVICES} | {
    "is_service_equipment_of_other_than_dwelling": is_service_equipment,
    "is_serviced_energized_at_other_than_dwelling": is_service_equipment,
}
