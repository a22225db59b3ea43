"""Facts about power production sources and the busbars they reach."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.services import service_disconnects, service_places
from permitgen.evaluation.label_facts.subject import Fact, Found, LabelSubject, each_once, on_equipment, on_handle
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.busbar_feeds import feeds_of
from permitgen.system.equipment.disconnect import RapidShutdownInitiator
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.rapid_shutdown import initiators
from permitgen.system.walks.sources_on_busbar import supply_path

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.handle import Handle
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System

_PARALLEL = ("photovoltaic", "energy storage", "vehicle")
_FEET_PER_PV_MARKING = 10.0


def has_interconnected_power_source(evaluation: Evaluation) -> Found:
    """The service locations, where a source can run in parallel with the utility."""
    if not any(source.kind in _PARALLEL for source in evaluation.system.sources.values()):
        return ()
    return service_places(evaluation)


def source_connected_ahead_of_service_disconnect(evaluation: Evaluation) -> Found:
    """Service disconnects of a source that has one of its own, beside the one of the loads."""
    system = evaluation.system
    found = [handle for handle in service_disconnects(system) if _only_sources_beyond(system, handle)]
    return each_once([on_handle(system, handle) for handle in found]) if len(service_disconnects(system)) > len(found) else ()


def _only_sources_beyond(system: System, handle: Handle) -> bool:
    upstream = system.graph.reach(system.utility_nodes, lambda link: not link.handle)
    beyond: set[str] = set()
    for link in system.graph.links:
        if link.handle == handle.id:
            far = link.second if link.first in upstream else link.first
            beyond |= set(system.graph.reach([far], lambda other, opened=handle.id: other.handle != opened))  # type: ignore[misc]
    has_source = any(source.node in beyond for source in system.sources.values() if source.kind != "utility")
    return has_source and not any(bus.node in beyond and not _combines(system, bus.tag) for bus in system.busbars.values())


def _combines(system: System, tag: str) -> bool:
    return any("combin" in role for role in system.equipment[tag].roles)


def is_interactive_point_of_interconnection(evaluation: Evaluation) -> Found:
    """Where PV sources join another source: the outermost handle that has only PV sources behind it."""
    system = evaluation.system
    found = [_outermost_disconnect(system, source) for source in system.sources.values() if source.kind == "photovoltaic" and source.is_ac]
    return each_once([on_handle(system, handle) for handle in found if handle is not None])


def _outermost_disconnect(system: System, source: PowerSource) -> Handle | None:
    """Return the handle nearest the utility behind which only sources of the same kind lie, None where there is none."""
    best: Handle | None = None
    for link in supply_path(system, source.node):
        if not link.handle or link.handle not in system.handles:
            continue
        behind = system.graph.reach([source.node], lambda other, opened=link.handle: other.handle != opened)  # type: ignore[misc]
        others = [s for s in system.sources.values() if s.node in behind and s.kind != source.kind]
        loads = [bus for bus in system.busbars.values() if bus.node in behind and not _combines(system, bus.tag)]
        if others or loads:
            break
        best = system.handles[link.handle]
    return best


def is_power_source_disconnect(evaluation: Evaluation) -> Found:
    """Disconnects of generators and vehicles; those of PV and storage have labels of their own."""
    system = evaluation.system
    found = [
        on_equipment(item)
        for item in system.equipment.values()
        if item.kind == "disconnect" and getattr(item, "purpose", "") == "generator"
    ]
    if not found:
        found = [
            on_equipment(item) for item in system.equipment.values() if item.kind == "generator" and getattr(item, "has_disconnect", None)
        ]
    return each_once(found)


def is_pv_system_disconnect(evaluation: Evaluation) -> Found:
    """Switches made for it, else the handle that separates the PV system from all other wiring."""
    system = evaluation.system
    own = [
        on_equipment(item)
        for item in system.equipment.values()
        if item.kind == "disconnect" and getattr(item, "purpose", "") == "pv system"
    ]
    if own:
        return each_once(own)
    sources = [source for source in system.sources.values() if source.kind == "photovoltaic" and source.is_ac]
    found = [_outermost_disconnect(system, source) for source in sources]
    return each_once([_breaker_subject(system, handle) for handle in found if handle is not None])


def _breaker_subject(system: System, handle: Handle) -> LabelSubject:
    item = system.equipment.get(handle.tag)
    return LabelSubject(handle.id, f"{handle.name}, {item.name}" if item is not None else handle.name, handle.place)


def is_ess_disconnect(evaluation: Evaluation) -> Found:
    """The disconnecting means of storage units."""
    system = evaluation.system
    return each_once([on_handle(system, handle) for handle in system.handles.values() if handle.kind == "energy storage disconnect"])


def is_ess_emergency_shutdown_initiator(evaluation: Evaluation) -> Found:
    """Devices that stop storage units by their emergency function."""
    system = evaluation.system
    storage = {item.tag for item in system.equipment.values() if isinstance(item, EnergyStorageSystem)}
    initiators = [item for item in system.equipment.values() if isinstance(item, RapidShutdownInitiator) and storage & set(item.also_stops)]
    return tuple(on_equipment(item) for item in initiators)


def is_rapid_shutdown_initiator(evaluation: Evaluation) -> Found:
    """Devices that start rapid shutdown, a service or PV disconnect in that role among them."""
    return tuple(on_equipment(initiator.item) for initiator in initiators(evaluation.system) if initiator.arrays)


def _arrays(system: System) -> list[PVArray]:
    return [item for item in system.equipment.values() if isinstance(item, PVArray) and item.status != "removed"]


def pv_circuits_on_or_in_building(evaluation: Evaluation) -> Found:
    """The service locations, where PV circuits are on or in a building; None where an array does not say."""
    arrays = _arrays(evaluation.system)
    if any(array.on_building not in ("", "none", "ground") for array in arrays):
        return service_places(evaluation)
    return None if any(not array.on_building for array in arrays) else ()


def pv_system_has_dc_circuits(evaluation: Evaluation) -> Found:
    """The dc side of arrays whose inverters are not at the modules: their inverters, else the arrays."""
    system = evaluation.system
    arrays = [array for array in _arrays(system) if array.strings]
    inverters = [item for item in system.equipment.values() if item.kind == "inverter" and getattr(item, "energy", "") == "photovoltaic"]
    return tuple(on_equipment(item) for item in inverters) if arrays and inverters else tuple(on_equipment(array) for array in arrays)


def exposed_pv_dc_wiring_on_or_in_building(evaluation: Evaluation) -> Found:
    """Runs of PV dc circuits on or in a building: one marking for every ten feet; None where a run's length is not given."""
    system = evaluation.system
    found: list[LabelSubject] = []
    for circuit in system.circuits.values():
        if not circuit.is_dc:
            continue
        for tag in circuit.runs:
            run = system.raceways[tag]
            if run.is_free_air or run.exposed is False:
                continue
            if run.length_ft is None:
                return None
            count = max(1, -(-int(run.length_ft.number * 12) // int(_FEET_PER_PV_MARKING * 12)))
            found.append(LabelSubject(tag, f"{run.kind} {tag}, {run.location}".rstrip(", "), None, count))
    return each_once(found)


def pv_dc_conductors_at_terminations(evaluation: Evaluation) -> Found:
    """Both ends of every PV dc circuit."""
    circuits = [circuit for circuit in evaluation.system.circuits.values() if circuit.is_dc]
    return tuple(LabelSubject(circuit.tag, circuit.name, None, 4) for circuit in circuits)


def rapid_shutdown_controls_array(evaluation: Evaluation) -> Found:
    """The service locations, where every array is controlled inside its boundary; None where an array does not say."""
    arrays = _arrays(evaluation.system)
    known = [
        array.module_inverter is not None or array.is_hazard_control_listed or array.modules_per_shutdown_unit is not None
        for array in arrays
    ]
    return service_places(evaluation) if arrays and all(known) else None


def pv_systems_differ_in_rapid_shutdown(evaluation: Evaluation) -> Found:
    """The service locations, where some array has an initiator and some array has none."""
    system = evaluation.system
    covered = {tag for initiator in initiators(system) for tag in initiator.arrays}
    on_building = [array for array in _arrays(system) if array.on_building not in ("", "none", "ground")]
    with_one = [array for array in on_building if array.tag in covered]
    return service_places(evaluation) if with_one and len(with_one) < len(on_building) else ()


def pv_systems_remote_from_each_other(evaluation: Evaluation) -> Found:
    """The PV disconnects, where arrays stand on different buildings."""
    buildings = {array.on_building for array in _arrays(evaluation.system)}
    return is_pv_system_disconnect(evaluation) if len(buildings) > 1 else ()


def overcurrent_devices_supplied_from_multiple_sources(evaluation: Evaluation) -> Found:
    """Enclosures whose busbar sources reach from its load side while the utility feeds it too."""
    system = evaluation.system
    return tuple(on_equipment(system.equipment[bus.tag]) for bus in system.busbars.values() if feeds_of(evaluation.given, bus).sources)


def _busbars_passing_by(evaluation: Evaluation, method: str) -> list[str]:
    found = [f for f in evaluation.findings if f.rule == "busbar-sources" and f.verdict in (Verdict.PASSES, Verdict.CAUTION)]
    return [f.subject for f in found if f.judgement.method == method]


def busbar_uses_opposite_end_rule(evaluation: Evaluation) -> Found:
    """Source devices on busbars whose connection relies on the 120 percent rule."""
    system = evaluation.system
    found = []
    for tag in _busbars_passing_by(evaluation, "opposite end, 120 percent"):
        bus = system.busbars[tag]
        sources = {source.node for source in feeds_of(evaluation.given, bus).sources}
        for link in system.graph.at_node.get(bus.node, ()):
            if link.device is None or not link.handle or link is feeds_of(evaluation.given, bus).supply:
                continue
            behind = system.graph.reach([link.other(bus.node)], lambda other, me=link: other is not me)  # type: ignore[misc]
            if sources & set(behind):
                found.append(LabelSubject(link.handle, f"{system.equipment[tag].name}, breaker {link.part}", system.equipment[tag].place))
    return each_once(found)


def busbar_uses_sum_of_breakers_rule(evaluation: Evaluation) -> Found:
    """Busbars whose connection relies on the sum of all overcurrent devices."""
    return tuple(on_equipment(evaluation.system.equipment[tag]) for tag in _busbars_passing_by(evaluation, "sum of breakers"))


def pcs_limits_busbar_current(evaluation: Evaluation) -> Found:
    """Busbars whose connection relies on a listed power control system."""
    tags = [tag for method in ("power control system", "listed power control") for tag in _busbars_passing_by(evaluation, method)]
    return tuple(on_equipment(evaluation.system.equipment[tag]) for tag in dict.fromkeys(tags))


def ems_sets_maximum_current(evaluation: Evaluation) -> Found:
    """Equipment that an energy management or power control system holds to a set current."""
    items = evaluation.system.equipment.values()
    return tuple(
        on_equipment(item) for item in items if getattr(item, "limit_a", None) is not None or getattr(item, "setting_a", None) is not None
    )


def ems_controls_loads_remotely(evaluation: Evaluation) -> Found:
    """The interconnect device, where it sheds loads."""
    system = evaluation.system
    if not any(load.shed != "none" for load in system.loads.values()):
        return ()
    return tuple(on_equipment(item) for item in system.equipment.values() if item.kind == "microgrid_interconnect_device")


def equipment_both_loads_and_feeds(evaluation: Evaluation) -> Found:
    """Vehicle supply equipment that can give back."""
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if getattr(item, "exports", False))


def record_has_public_address(evaluation: Evaluation) -> Found:
    """The service locations, where the record has an address."""
    record = evaluation.system.record
    return service_places(evaluation) if record is not None and record.address else ()


def residential_code_asks_for_ess_contact(evaluation: Evaluation) -> Found:
    """Storage units under a residential code that asks for the service contact."""
    book = evaluation.given.code.fire_code.value
    if not book.startswith("IRC") or book == "IRC 2018":
        return ()
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if isinstance(item, EnergyStorageSystem))


def power_sources_changed(evaluation: Evaluation) -> Found:
    """The service locations, where a new source joins one that was there before: the old directory is false now."""
    system = evaluation.system
    items = [system.equipment[source.tag] for source in system.sources.values() if source.kind != "utility"]
    mixed = any(item.status == "existing" for item in items) and any(item.status == "new" for item in items)
    return service_places(evaluation) if mixed else ()


def rapid_shutdown_type_changed(evaluation: Evaluation) -> Found:
    """The service locations, where an existing array comes behind a new interconnect device: its label is false now."""
    system = evaluation.system
    existing = any(array.status == "existing" for array in _arrays(system))
    new_device = any(item.kind == "microgrid_interconnect_device" and item.status == "new" for item in system.equipment.values())
    return service_places(evaluation) if existing and new_device else ()


FACTS: dict[str, Fact] = {
    fact.__name__: fact
    for fact in (
        has_interconnected_power_source,
        source_connected_ahead_of_service_disconnect,
        is_interactive_point_of_interconnection,
        is_power_source_disconnect,
        is_pv_system_disconnect,
        is_ess_disconnect,
        is_ess_emergency_shutdown_initiator,
        is_rapid_shutdown_initiator,
        pv_circuits_on_or_in_building,
        pv_system_has_dc_circuits,
        exposed_pv_dc_wiring_on_or_in_building,
        pv_dc_conductors_at_terminations,
        rapid_shutdown_controls_array,
        pv_systems_differ_in_rapid_shutdown,
        pv_systems_remote_from_each_other,
        overcurrent_devices_supplied_from_multiple_sources,
        busbar_uses_opposite_end_rule,
        busbar_uses_sum_of_breakers_rule,
        pcs_limits_busbar_current,
        ems_sets_maximum_current,
        ems_controls_loads_remotely,
        equipment_both_loads_and_feeds,
        record_has_public_address,
        residential_code_asks_for_ess_contact,
        power_sources_changed,
        rapid_shutdown_type_changed,
    )
}
