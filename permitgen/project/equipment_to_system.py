"""Equipment entries, laid over their catalog entries, become equipment of the system."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from permitgen.project import quantities
from permitgen.project.converted_energy import storage_coupling
from permitgen.project.cursor import Cursor
from permitgen.project.hardware_to_system import (
    bond_of,
    device_of,
    directory_of,
    entry_zones_of,
    island_bond_of,
    listings_of,
    place_of,
    terminals_of,
    wiring_space_of,
)
from permitgen.project.photovoltaic_to_system import array_of, inverter_of
from permitgen.project.place_building import building_of_place
from permitgen.project.sections import equipment as kinds
from permitgen.project.sections.project_file import ProjectFile
from permitgen.system.equipment import disconnect, energy_storage_system, generator, grounding_electrode_system, pass_through, utilization
from permitgen.system.equipment.autotransformer import Autotransformer
from permitgen.system.equipment.dc_combiner import DCCombiner
from permitgen.system.equipment.equipment import Equipment
from permitgen.system.equipment.meter_main import MeterMain
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.equipment.utility_service import UtilityService
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.equation import sum_of
from permitgen.values.origin import Assumed, ProjectLine
from permitgen.values.value import Value

_COMMON_WORDS = (
    "shutdown_input",
    "position_before_energizing",
    "position_in_service",
    "engineering_study",
    "fastener",
    "flashing",
    "framing",
    "surge_protection",
    "shed",
    "pull",
    "splices_listed_for",
    "line_side_connectors",
    "reason_for_further_service",
    "replacement_evidence",
    "dc_grounding",
    "dc_isolation",
    "fire_class",
    "water_piping",
    "gas_piping",
    "fault_current_source",
    "door",
    "connection",
    "disconnected_by",
    "voltage_leads",
    "lands_on",
    "bonding_jumper_kind",
    "gas_bonded_by",
)


def equipment_of(at: Cursor, tag: str, models: ProjectFile) -> Equipment:
    """Build the equipment with ``tag``."""
    at.owner = tag
    return _BUILDERS[type(at.model)](at, _common(at, tag, models), models)


def _common(at: Cursor, tag: str, models: ProjectFile) -> dict[str, Any]:
    given: Any = at.model
    where = {name: at.line(name) for name in type(given).model_fields if name in given.model_fields_set}
    return {
        "tag": tag,
        "name": given.name or given.kind.replace("_", " "),
        "place": place_of(at.child("place"), building_of_place(given.place, models)) if given.place is not None else None,
        "terminals": terminals_of(at),
        "neutral_bond": bond_of(at),
        "roles": frozenset(given.role),
        "listed_as": listings_of(given),
        "status": given.status,
        "existing_labels": tuple(given.existing_labels),
        "model": given.model,
        "enclosure_type": given.enclosure_type,
        "short_circuit_rating_ka": at.value("short_circuit_rating"),
        "electrode_conductor_size": at.size("grounding_electrode_conductor")[0],
        "system_bonding_jumper_size": at.size("system_bonding_jumper")[0],
        "facts": at.facts(frozenset()),
        "words": at.words(_COMMON_WORDS),
        "answers": at.answers(),
        "absent": given.absent,
        "unknown": given.unknown,
        "entry_zones": entry_zones_of(at),
        "wiring_space": wiring_space_of(at),
        "directory": directory_of(at),
        "at": at.line(),
        "where": where,
    }


def _utility(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    found = quantities.parse_system_voltage(given.voltage)
    return UtilityService(
        **common,
        line_to_line_v=_voltage(at, found.line_to_line_v, given.voltage, "line-to-line voltage"),
        line_to_neutral_v=_voltage(at, found.line_to_neutral_v, given.voltage, "line-to-neutral voltage"),
        available_fault_current_a=at.value("available_fault_current", "available fault current stated by the utility"),
        fault_current_source=given.fault_current_source,
        transformer_kva=at.value("transformer", "rating of the utility transformer"),
        transformer_impedance_percent=at.value("transformer_impedance", "impedance of the utility transformer"),
    )


def _voltage(at: Cursor, volts: float | None, spelled: str, title: str) -> Value | None:
    if volts is None:
        return None
    if "voltage" not in at.model.model_fields_set:
        reason = f"voltage of {at.owner} not stated; nearly every dwelling is served with {spelled}"
        return Value(volts, "v", Assumed(reason), "E", title)
    line = at.line("voltage")
    return Value(volts, "v", ProjectLine(line.file, line.line, line.column, line.path, spelled), "E", title)


def _panelboard(at: Cursor, common: dict[str, Any], models: ProjectFile) -> Equipment:
    given: Any = at.model
    kind = MeterMain if isinstance(given, kinds.MeterMainModel) else Panelboard
    return kind(
        **common,
        busbar_rating_a=at.value("busbar", f"busbar rating of {at.owner}"),
        main=device_of(at.child("main")) if given.main is not None else None,
        has_main_lugs_only=bool(given.main_lugs_only),
        supply_end=given.supply_end,
        spaces=given.spaces,
        largest_breaker_a=at.value("largest_breaker"),
        has_feed_through_lugs=bool(given.feed_through_lugs) or _lands_on(models, f"{at.owner}.feed_through"),
        interlocked_position=given.interlocked_breaker,
    )


def _lands_on(models: ProjectFile, end: str) -> bool:
    return any(end in (circuit.from_, circuit.to) for circuit in models.circuits.values())


def _mid(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    modes = {
        name: frozenset(_mode(word) for word in terminal.closed_in) for name, terminal in given.terminals.items() if terminal.closed_in
    }
    return MicrogridInterconnectDevice(
        **common,
        main=device_of(at.child("main")) if given.main is not None else None,
        contactor_rating_a=at.value("contactor_rating"),
        contactor_poles=given.contactor_poles,
        contactor_switches_neutral=given.contactor_switches_neutral,
        island_bond=island_bond_of(at),
        contactor_short_circuit_ka=at.value("contactor_short_circuit_rating"),
        busbar_rating_a=at.value("busbar", f"busbar rating of {at.owner}"),
        supply_end=given.supply_end,
        spaces=given.spaces,
        largest_breaker_a=at.value("largest_breaker"),
        listed_supply_a=at.value("listed_supply"),
        listed_sources_a=at.value("listed_sources"),
        autotransformer=_autotransformer(at.child("autotransformer")) if given.autotransformer is not None else None,
        load_device=device_of(at.child("load_device")) if given.load_device is not None else None,
        largest_load_device_a=at.value("largest_load_device"),
        relay_modes=modes,
    )


def _mode(word: str) -> OperatingMode:
    return OperatingMode(word)


def _autotransformer(at: Cursor) -> Autotransformer:
    given: Any = at.model
    return Autotransformer(
        neutral_a=at.value("neutral_current", "rated continuous neutral current of the autotransformer"),
        rating_kva=at.value("rating", "nameplate rating of the autotransformer"),
        rating_means=given.rating_means,
        peak_a=at.value("peak_current"),
        peak_s=at.value("peak_time"),
        device=device_of(at.child("breaker")) if given.breaker is not None else None,
        opens_together_with_sources=given.opens_together_with_sources,
        shares_device_with=given.shares_breaker_with,
        with_utility=given.with_utility,
        at=at.line(),
    )


def _storage(at: Cursor, common: dict[str, Any], models: ProjectFile) -> Equipment:
    given: Any = at.model
    return energy_storage_system.EnergyStorageSystem(
        **common,
        output_a=at.value("output", f"rated output current of {at.owner}"),
        output_v=at.value("ac_voltage", f"ac voltage of {at.owner}", "E"),
        charge_a=at.value("charge_current", f"charge current of {at.owner}"),
        limit_a=at.value("power_control_limit"),
        energy_kwh=_rated_energy(at),
        units=at.value("units", f"number of units of {at.owner}"),
        unit_energy_kwh=at.value("unit_energy", f"rated energy of one unit of {at.owner}"),
        chemistry=given.chemistry,
        coupling=storage_coupling(models, at.owner),
        functions=frozenset(given.functions),
        nominal_v=at.value("nominal_voltage"),
        has_disconnect=given.disconnect,
        largest_device_a=at.value("largest_device"),
        fault_current_a=at.value("fault_current", f"maximum output fault current of {at.owner}"),
        is_listed_system=given.listed_system,
        spacing_listed_in=at.value("listed_spacing"),
    )


def _rated_energy(at: Cursor) -> Value | None:
    """Return the rated energy of all units of a storage system together, kWh: their sum where that of one is stated, else as stated."""
    given: Any = at.model
    each = at.value("unit_energy", f"rated energy of one unit of {at.owner}")
    if each is None or given.units is None:
        return at.value("energy", f"rated energy of {at.owner}")
    units = [each.named(f"E_{number}", f"rated energy of unit {number} of {at.owner}") for number in range(1, int(given.units.number) + 1)]
    return sum_of(units, symbol="E", title=f"rated energy of {at.owner}")


def _dc_combiner(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    return DCCombiner(
        **common,
        busbar_rating_a=at.value("busbar", f"busbar rating of {at.owner}"),
        marked_v=at.value("voltage", f"dc voltage for which {at.owner} is marked", "V_marked"),
        spaces=given.spaces,
    )


def _generator(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    return generator.Generator(
        **common,
        output_a=at.value("output", f"nameplate current of {at.owner}"),
        output_va=at.value("output_power", f"nameplate power of {at.owner}"),
        output_v=at.value("ac_voltage", f"ac voltage of {at.owner}", "E"),
        device=device_of(at.child("breaker")) if given.breaker is not None else None,
        subtransient_reactance_percent=at.value("subtransient_reactance"),
        has_outside_stop=given.outside_stop,
        has_disconnect=given.disconnect,
        is_portable=bool(given.portable),
    )


def _disconnect(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    return disconnect.Disconnect(
        **common,
        rating_a=at.value("rating", f"rating of {at.owner}"),
        device=device_of(at.child("device")) if given.device is not None else None,
        poles=given.poles,
        switches_neutral=bool(given.switches_neutral),
        purpose=given.purpose,
        lockable=given.lockable,
        is_load_break=given.load_break,
        voltage_v=at.value("voltage"),
    )


def _transfer(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    return disconnect.TransferSwitch(
        **common,
        rating_a=at.value("rating", f"rating of {at.owner}"),
        device=device_of(at.child("device")) if given.device is not None else None,
        switches_neutral=given.switches_neutral,
        is_automatic=given.automatic,
        poles=given.poles,
    )


def _inlet(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    return generator.PowerInlet(**common, rating_a=at.value("rating", f"rating of {at.owner}"), generator=given.generator)


def _initiator(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    return disconnect.RapidShutdownInitiator(
        **common, shuts_down=given.shuts_down, also_stops=given.also_stops, lockable=given.lockable, poles=given.poles
    )


def _ev(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    return utilization.EVSupplyEquipment(
        **common,
        current_a=at.value("current", f"rated current of {at.owner}"),
        setting_a=at.value("setting"),
        exports=bool(given.exports) or (given.exports is None and given.output is not None),
        output_a=at.value("output"),
        output_v=at.value("ac_voltage", f"ac voltage of {at.owner}", "E"),
    )


def _appliance(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    return utilization.Appliance(
        **common,
        current_a=at.value("current", f"rated current of {at.owner}"),
        power_va=at.value("power", f"rated power of {at.owner}"),
        minimum_circuit_ampacity_a=at.value("minimum_circuit_ampacity"),
        largest_device_a=at.value("largest_device"),
        continuous=given.continuous,
        stated_category=given.category,
    )


def _electrodes(at: Cursor, common: dict[str, Any], _models: ProjectFile) -> Equipment:
    given: Any = at.model
    size, size_at = at.size("conductor")
    jumper, _ = at.size("bonding_jumper")
    water, _ = at.size("water_bonding_conductor")
    return grounding_electrode_system.GroundingElectrodeSystem(
        **common,
        electrodes=given.electrodes,
        conductor_size=size,
        conductor_material=given.conductor_material,
        size_at=size_at,
        lands_at=given.lands_at,
        sizes_to_each={name: each.size for name, each in given.to_each.items() if each.size is not None},
        second_rod=given.second_rod,
        jumper_size=jumper,
        jumper_material=given.bonding_jumper_material,
        jumper_is_factory=given.factory_bonding_jumper,
        in_raceway=given.in_raceway,
        water_bonding_size=water,
        gas_bonding_size=at.size("gas_bonding_conductor")[0],
        electrode_jumpers={name: each.size for name, each in given.electrode_jumpers.items() if each.size is not None},
    )


def _plain(kind: type[Equipment]) -> Callable[[Cursor, dict[str, Any], ProjectFile], Equipment]:
    return lambda _at, common, _models: kind(**common)


_BUILDERS: dict[type[Any], Callable[[Cursor, dict[str, Any], ProjectFile], Equipment]] = {
    kinds.UtilityServiceModel: _utility,
    kinds.MeterModel: _plain(pass_through.Meter),
    kinds.JunctionBoxModel: _plain(pass_through.JunctionBox),
    kinds.PanelboardModel: _panelboard,
    kinds.MeterMainModel: _panelboard,
    kinds.DCCombinerModel: _dc_combiner,
    kinds.MicrogridInterconnectDeviceModel: _mid,
    kinds.PVArrayModel: array_of,
    kinds.InverterModel: inverter_of,
    kinds.EnergyStorageSystemModel: _storage,
    kinds.GeneratorModel: _generator,
    kinds.DisconnectModel: _disconnect,
    kinds.TransferSwitchModel: _transfer,
    kinds.PowerInletModel: _inlet,
    kinds.RapidShutdownInitiatorModel: _initiator,
    kinds.EVSupplyEquipmentModel: _ev,
    kinds.ApplianceModel: _appliance,
    kinds.EnergyMonitorModel: _plain(utilization.EnergyMonitor),
    kinds.GroundingElectrodeSystemModel: _electrodes,
}
