"""Facts about services, panels and island operation."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.subject import Fact, Found, LabelSubject, each_once, on_equipment, on_handle
from permitgen.system.equipment.generator import Generator
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.isolation import service_handles
from permitgen.system.walks.line_and_load import live_on_both_sides

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.handle import Handle
    from permitgen.system.system import System

_ONE_AND_TWO_FAMILY = ("one-family", "two-family")


def service_disconnects(system: System) -> list[Handle]:
    """Return the handles of the service disconnecting means."""
    return [system.handles[handle] for handle in service_handles(system) if handle in system.handles]


def service_places(evaluation: Evaluation) -> tuple[LabelSubject, ...]:
    """Return the enclosures of the service disconnecting means, one a location."""
    return each_once([on_handle(evaluation.system, handle) for handle in service_disconnects(evaluation.system)])


def is_service_disconnect(evaluation: Evaluation) -> Found:
    """The service disconnecting means."""
    return service_places(evaluation)


def is_dwelling_emergency_disconnect(evaluation: Evaluation) -> Found:
    """A service disconnect outdoors at a one- or two-family dwelling whose service equipment is new or replaced."""
    system = evaluation.system
    if system.site.dwelling not in _ONE_AND_TWO_FAMILY:
        return ()
    found = []
    for handle in service_disconnects(system):
        item = system.equipment[handle.tag]
        if item.status not in ("new", "replaced"):
            continue
        if item.place is None or item.place.outdoors is None:
            return None
        if item.place.outdoors:
            found.append(on_handle(system, handle))
    return each_once(found)


def is_meter_disconnect(evaluation: Evaluation) -> Found:
    """A switch with the role of a meter disconnect."""
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if "meter disconnect" in item.roles)


def is_other_supply_side_disconnect(evaluation: Evaluation) -> Found:
    """A switch made the emergency disconnect although it is not the service disconnect."""
    items = evaluation.system.equipment.values()
    return tuple(on_equipment(item) for item in items if getattr(item, "purpose", "") == "emergency")


def other_sources_isolated_elsewhere(evaluation: Evaluation) -> Found:
    """The emergency disconnect, where some source is isolated by equipment that does not stand beside it."""
    system = evaluation.system
    emergency = is_dwelling_emergency_disconnect(evaluation)
    if not emergency:
        return emergency
    tags = {subject.tag for subject in emergency}
    kinds = ("source disconnect", "energy storage disconnect", "generator stop", "rapid shutdown initiator")
    elsewhere = [handle for handle in system.handles.values() if handle.kind in kinds and handle.tag not in tags]
    return emergency if elsewhere else ()


def building_has_more_than_one_supply(evaluation: Evaluation) -> Found:
    """Each service disconnect, where there are several in different enclosures that are not one group."""
    places = service_places(evaluation)
    return places if len(places) > 1 else ()


def building_supplied_by_stand_alone_system(evaluation: Evaluation) -> Found:
    """The main distribution panel of a building without utility."""
    system = evaluation.system
    if system.utility_nodes or not system.sources:
        return ()
    return tuple(on_equipment(system.equipment[tag]) for tag in list(system.busbars)[:1])


def building_has_several_sources(evaluation: Evaluation) -> Found:
    """The same panel, where several sources supply the building."""
    return building_supplied_by_stand_alone_system(evaluation) if len(evaluation.system.sources) > 1 else ()


def is_panelboard(evaluation: Evaluation) -> Found:
    """Panelboards whose circuits are new or changed."""
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if item.kind == "panelboard")


def is_feeder_supplied_panelboard(evaluation: Evaluation) -> Found:
    """Panelboards that are not service equipment."""
    services = {subject.tag for subject in service_places(evaluation)}
    return tuple(subject for subject in is_panelboard(evaluation) or () if subject.tag not in services)


def is_service_equipment(evaluation: Evaluation) -> Found:
    """The service equipment, for markings that dwellings are exempt from and that are printed on request."""
    return service_places(evaluation)


def islands_the_premises(evaluation: Evaluation) -> Found:
    """Microgrid interconnect devices and transfer switches."""
    kinds = ("microgrid_interconnect_device", "transfer_switch")
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if item.kind in kinds)


def panel_live_when_utility_is_lost(evaluation: Evaluation) -> Found:
    """Panelboards with loads that a source reaches while the utility is away."""
    system = evaluation.system
    live: set[str] = set()
    for mode in system.modes:
        if mode is OperatingMode.WITH_UTILITY:
            continue
        starts = [source.node for source in system.sources.values() if source.forms_island]
        live |= set(system.graph.reach(starts, closed_in(mode)))
    combiners = {item.tag for item in system.equipment.values() if any("combin" in role for role in item.roles)}
    items = (system.equipment[bus.tag] for bus in system.busbars.values() if bus.node in live)
    return tuple(on_equipment(item) for item in items if item.kind == "panelboard" and item.tag not in combiners)


def is_optional_standby_transfer_equipment(evaluation: Evaluation) -> Found:
    """The device that transfers to a generator."""
    system = evaluation.system
    if not any(source.kind == "generator" for source in system.sources.values()):
        return ()
    return islands_the_premises(evaluation)


def has_permanent_standby_source(evaluation: Evaluation) -> Found:
    """The service equipment, where a permanently installed generator stands on the site."""
    generators = [item for item in evaluation.system.equipment.values() if isinstance(item, Generator) and not item.is_portable]
    return service_places(evaluation) if generators else ()


def is_generator_emergency_stop(evaluation: Evaluation) -> Found:
    """The stop of a permanently installed generator."""
    system = evaluation.system
    return tuple(on_handle(system, handle) for handle in system.handles.values() if handle.kind == "generator stop")


def is_generator_inlet(evaluation: Evaluation) -> Found:
    """The connection of a portable generator."""
    items = evaluation.system.equipment.values()
    return tuple(on_equipment(item) for item in items if isinstance(item, Generator) and item.is_portable)


def transfer_equipment_switches_neutral(evaluation: Evaluation) -> Found:
    """Inlets behind transfer equipment that opens the neutral; None where the equipment does not say."""
    inlets = is_generator_inlet(evaluation) or ()
    switched = [
        _switches_neutral(item)
        for item in evaluation.system.equipment.values()
        if item.kind in ("microgrid_interconnect_device", "transfer_switch")
    ]
    if not inlets or not switched:
        return ()
    if any(known is None for known in switched):
        return None
    return inlets if any(switched) else ()


def _switches_neutral(item: object) -> bool | None:
    if isinstance(item, MicrogridInterconnectDevice):
        return item.contactor_switches_neutral
    found: bool | None = getattr(item, "switches_neutral", None)
    return found


def alternate_source_grounded_through_normal_equipment(evaluation: Evaluation) -> Found:
    """The service equipment, where a generator's neutral is grounded through it because no transfer equipment opens the neutral."""
    if not any(source.kind == "generator" for source in evaluation.system.sources.values()):
        return ()
    switched = [
        _switches_neutral(item)
        for item in evaluation.system.equipment.values()
        if item.kind in ("microgrid_interconnect_device", "transfer_switch")
    ]
    if any(known is None for known in switched):
        return None
    return () if any(switched) else service_places(evaluation)


def project_has_moving_or_forbidden_neutral_bond(evaluation: Evaluation) -> Found:
    """Every enclosure whose neutral bond is installed or must not be, in a house that can run without the utility."""
    system = evaluation.system
    if not islands_the_premises(evaluation):
        return ()
    stated = [
        item
        for item in system.equipment.values()
        if item.neutral_bond is not None and item.neutral_bond.state.value in ("installed", "removed")
    ]
    return tuple(on_equipment(item) for item in stated if item.kind != "generator")


def neutral_is_bonded_here(evaluation: Evaluation) -> Found:
    """Enclosures with the bond installed."""
    items = evaluation.system.equipment.values()
    return tuple(on_equipment(item) for item in items if item.neutral_bond is not None and item.neutral_bond.state.is_bonded)


def line_and_load_live_when_open(evaluation: Evaluation) -> Found:
    """Switches with both sides possibly live while they are open, found on the graph."""
    system = evaluation.system
    kinds = ("disconnect", "source disconnect", "service disconnect", "main breaker", "energy storage disconnect")
    return each_once([on_handle(system, h) for h in system.handles.values() if h.kind in kinds and live_on_both_sides(system, h.id)])


def disconnect_purpose_not_evident(evaluation: Evaluation) -> Found:
    """Switches in an enclosure of their own that no other label names."""
    items = evaluation.system.equipment.values()
    return tuple(on_equipment(item) for item in items if item.kind == "disconnect" and getattr(item, "purpose", "") == "maintenance")


def isolating_device_not_rated_to_interrupt(evaluation: Evaluation) -> Found:
    """Switches stated not to be load-break rated."""
    items = evaluation.system.equipment.values()
    return tuple(on_equipment(item) for item in items if getattr(item, "is_load_break", None) is False)


FACTS: dict[str, Fact] = {
    fact.__name__: fact
    for fact in (
        is_service_disconnect,
        is_dwelling_emergency_disconnect,
        is_meter_disconnect,
        is_other_supply_side_disconnect,
        other_sources_isolated_elsewhere,
        building_has_more_than_one_supply,
        building_supplied_by_stand_alone_system,
        building_has_several_sources,
        is_panelboard,
        is_feeder_supplied_panelboard,
        islands_the_premises,
        panel_live_when_utility_is_lost,
        is_optional_standby_transfer_equipment,
        has_permanent_standby_source,
        is_generator_emergency_stop,
        is_generator_inlet,
        transfer_equipment_switches_neutral,
        alternate_source_grounded_through_normal_equipment,
        project_has_moving_or_forbidden_neutral_bond,
        neutral_is_bonded_here,
        line_and_load_live_when_open,
        disconnect_purpose_not_evident,
        isolating_device_not_rated_to_interrupt,
    )
} | {
    "is_service_equipment_of_other_than_dwelling": is_service_equipment,
    "is_serviced_energized_at_other_than_dwelling": is_service_equipment,
}
