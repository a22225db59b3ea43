"""Facts about power production sources: where they join, how they are disconnected, which of them changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.services import service_locations, service_locations_of_pv
from permitgen.evaluation.label_facts.subject import Fact, Found, LabelSubject, each_once, on_equipment, on_handle
from permitgen.rules.quantities.building_use import is_of_small_dwelling
from permitgen.system.equipment.disconnect import RapidShutdownInitiator
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.walks.pv_disconnects import interconnection_points
from permitgen.system.walks.rapid_shutdown import arrays_of
from permitgen.system.walks.source_switches import link_of, separating_handles
from permitgen.system.walks.stopped_sources import inverter_sources
from permitgen.system.walks.storage_switches import BREAKER

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.handle import Handle
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System

_PARALLEL = ("photovoltaic", "energy storage", "vehicle")


def has_interconnected_power_source(evaluation: Evaluation) -> Found:
    """The service locations, where a source can run in parallel with the utility."""
    if not any(source.kind in _PARALLEL for source in evaluation.system.sources.values()):
        return ()
    return service_locations(evaluation)


def is_interactive_point_of_interconnection(evaluation: Evaluation) -> Found:
    """Where the ac output of PV joins other sources."""
    system = evaluation.system
    return each_once(on_handle(system, handle) for array in arrays_of(system) for handle in interconnection_points(system, array))


def source_disconnect_of(system: System, source: PowerSource) -> Handle | None:
    """Return the disconnect of a vehicle, or of an inverter that forms the island from battery and strings; None for other sources.

    PV, storage units and generators have disconnects with names of their own.
    """
    item = system.equipment[source.tag]
    is_hybrid = isinstance(item, Inverter) and source.forms_island and bool(inverter_sources(system, item))
    if source.kind != "vehicle" and not is_hybrid:
        return None
    handles = [handle for handle in separating_handles(system, (source,)) if link_of(system, handle.id) is not None]
    return max(handles, key=lambda handle: handle.kind != "breaker", default=None)


def is_power_source_disconnect(evaluation: Evaluation) -> Found:
    """Disconnects of generators, vehicles and hybrid inverters; those of PV and storage units have labels of their own."""
    system = evaluation.system
    items = system.equipment.values()
    switches = [item for item in items if item.kind == "disconnect" and getattr(item, "purpose", "") == "generator"]
    generators = [item for item in items if item.kind == "generator" and getattr(item, "has_disconnect", None)]
    return each_once([*(on_equipment(item) for item in switches or generators), *is_interconnected_source_disconnect(evaluation)])


def is_interconnected_source_disconnect(evaluation: Evaluation) -> tuple[LabelSubject, ...]:
    """The same without generators, which do not run in parallel with the utility."""
    system = evaluation.system
    handles = [source_disconnect_of(system, source) for source in system.sources.values()]
    return each_once(on_handle(system, handle) for handle in handles if handle is not None)


def is_ess_disconnect(evaluation: Evaluation) -> Found:
    """The disconnecting means of storage units: their switches, and a breaker on which their shutdown from outside relies."""
    system = evaluation.system
    relied_on = {f.judgement.method for f in evaluation.findings if f.rule == "ess-emergency-shutdown" and f.judgement.holds}
    return each_once(
        on_handle(system, handle)
        for handle in system.handles.values()
        if handle.kind == "energy storage disconnect" or (handle.kind == BREAKER and handle.id in relied_on)
    )


def is_ess_emergency_shutdown_initiator(evaluation: Evaluation) -> Found:
    """Devices that stop storage units of a one- or two-family dwelling by their emergency function."""
    system, given = evaluation.system, evaluation.given
    units = [item.tag for item in system.equipment.values() if isinstance(item, EnergyStorageSystem)]
    storage = {tag for tag in units if is_of_small_dwelling(given, tag) is not False}
    initiators = [item for item in system.equipment.values() if isinstance(item, RapidShutdownInitiator) and storage & set(item.also_stops)]
    return tuple(on_equipment(item) for item in initiators)


def equipment_both_loads_and_feeds(evaluation: Evaluation) -> Found:
    """Vehicle supply equipment that can give back, and inverters that charge a battery from the house."""
    system = evaluation.system
    vehicles = [item for item in system.equipment.values() if getattr(item, "exports", False)]
    hybrids = [item for item in system.equipment.values() if isinstance(item, Inverter) and _charges(system, item)]
    return tuple(on_equipment(item) for item in (*vehicles, *hybrids))


def _charges(system: System, inverter: Inverter) -> bool:
    batteries = [system.equipment[tag] for tag in inverter_sources(system, inverter)]
    return "multimode" in inverter.functions and any(isinstance(item, EnergyStorageSystem) for item in batteries)


def record_has_public_address(evaluation: Evaluation) -> Found:
    """The service locations, where the record has an address."""
    record = evaluation.system.record
    return service_locations(evaluation) if record is not None and record.address else ()


def residential_code_asks_for_ess_contact(evaluation: Evaluation) -> Found:
    """Storage units under a residential code that asks for the service contact."""
    book = evaluation.given.code.fire_code.value
    if not book.startswith("IRC") or book == "IRC 2018":
        return ()
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if isinstance(item, EnergyStorageSystem))


def _existing_beside_new(evaluation: Evaluation) -> bool:
    system = evaluation.system
    states = {system.equipment[source.tag].status for source in system.sources.values() if source.kind != "utility"}
    return {"existing", "new"} <= states


def power_sources_changed(evaluation: Evaluation) -> Found:
    """Existing equipment, where a new source joins one that was there before: the lists on it are false now."""
    if not _existing_beside_new(evaluation):
        return ()
    return tuple(on_equipment(item) for item in evaluation.system.equipment.values() if item.status == "existing")


def rapid_shutdown_type_changed(evaluation: Evaluation) -> Found:
    """The service locations, where an existing array comes behind or beside a new interconnect device: its label is false now."""
    system = evaluation.system
    existing = any(array.status == "existing" for array in arrays_of(system))
    new_device = any(item.kind == "microgrid_interconnect_device" and item.status == "new" for item in system.equipment.values())
    if not (existing and new_device):
        return ()
    return tuple(subject for subject in service_locations_of_pv(evaluation) if _was_there(system, subject))


def _was_there(system: System, subject: LabelSubject) -> bool:
    return system.equipment[subject.equipment].status == "existing"


FACTS: dict[str, Fact] = {
    fact.__name__: fact
    for fact in (
        has_interconnected_power_source,
        is_interactive_point_of_interconnection,
        is_power_source_disconnect,
        is_ess_disconnect,
        is_ess_emergency_shutdown_initiator,
        equipment_both_loads_and_feeds,
        record_has_public_address,
        residential_code_asks_for_ess_contact,
        power_sources_changed,
        rapid_shutdown_type_changed,
    )
}
