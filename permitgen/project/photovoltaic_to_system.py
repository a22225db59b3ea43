"""Arrays and inverters, with the catalog parts they name."""

from __future__ import annotations

from typing import Any

from permitgen.project.converted_energy import inverter_energy
from permitgen.project.cursor import Cursor
from permitgen.project.hardware_to_system import island_bond_of, listings_of
from permitgen.project.place_building import usual_roof
from permitgen.project.sections.project_file import ProjectFile
from permitgen.system.equipment.equipment import Equipment
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.photovoltaic import Converter, Module, ModuleInverter, PVArray
from permitgen.system.equipment.port import Port, TransferRelay
from permitgen.values.value import Value


def _catalog(at: Cursor, models: ProjectFile, name: str) -> Cursor | None:
    entry = models.catalog.get(name)
    return Cursor(at.file, at.where, ("catalog", name), entry, name) if entry is not None else None


def _module(at: Cursor) -> Module:
    given: Any = at.model
    coefficient = at.value("voc_coefficient", f"temperature coefficient of the open-circuit voltage of {at.owner}")
    per_cent = coefficient is not None and coefficient.unit == "percent_per_c"
    return Module(
        name=given.name or at.owner,
        power_w=at.value("power"),
        voc_v=at.value("voc", f"open-circuit voltage of {at.owner}", "V_oc"),
        isc_a=at.value("isc", f"short-circuit current of {at.owner}", "I_sc"),
        highest_isc_a=at.value("highest_isc", f"highest marked short-circuit current of {at.owner}", "I_sc"),
        is_bifacial=given.bifacial,
        vmp_v=at.value("vmp"),
        imp_a=at.value("imp"),
        voc_percent_per_c=coefficient if per_cent else None,
        voc_v_per_c=None if per_cent else coefficient,
        largest_series_fuse_a=at.value("largest_series_fuse"),
        system_voltage_v=at.value("system_voltage"),
        is_crystalline_silicon=given.crystalline_silicon,
        length_in=at.value("length"),
        width_in=at.value("width"),
        weight_lb=at.value("weight"),
        at=at.line(),
    )


def _module_inverter(at: Cursor) -> ModuleInverter:
    given: Any = at.model
    return ModuleInverter(
        name=given.name or at.owner,
        output_a=at.value("output", f"output current of one {at.owner}", "I_unit"),
        output_va=at.value("output_power"),
        output_v=at.value("ac_voltage", f"ac voltage of {at.owner}", "E"),
        largest_dc_input_v=at.value("largest_dc_input"),
        largest_branch_device_a=at.value("largest_branch_device", f"largest overcurrent device on a branch of {at.owner}"),
        largest_units_per_branch=at.value("largest_units_per_branch", f"most units of {at.owner} on one branch"),
        fault_current_a=at.value("fault_current"),
        is_ac_module=given.ac_module,
        is_listed_interactive=given.interactive_listed,
        has_arc_fault_protection=given.arc_fault_protection,
        has_ground_fault_protection=given.ground_fault_protection,
        trip_hz=at.value("frequency_trip", f"frequency at which {at.owner} trips"),
        droop_percent=at.value("frequency_droop"),
        at=at.line(),
    )


def _converter(at: Cursor) -> Converter:
    given: Any = at.model
    return Converter(
        name=given.name or at.owner,
        output_v=at.value("output_voltage"),
        output_a=at.value("output"),
        largest_input_v=at.value("largest_input"),
        shutdown_v=at.value("shutdown_voltage"),
        string_voltage_v=at.value("string_voltage"),
        has_arc_fault_protection=given.arc_fault_protection,
        at=at.line(),
    )


def _counts(at: Cursor, key: str, what: str) -> dict[str, Value]:
    given: dict[str, Any] = getattr(at.model, key)
    found = {name: at.of(count, key, name, title=f"{what} {at.owner} {name}", symbol="n") for name, count in given.items()}
    return {name: value for name, value in found.items() if value is not None}


def array_of(at: Cursor, common: dict[str, Any], models: ProjectFile) -> Equipment:
    """Build an array."""
    given: Any = at.model
    module, inverter, converter = (_catalog(at, models, name) for name in (given.module, given.module_inverter, given.converter))
    return PVArray(
        **common,
        module=_module(module) if module else None,
        module_inverter=_module_inverter(inverter) if inverter else None,
        converter=_converter(converter) if converter else None,
        branches=_counts(at, "branches", "units on branch"),
        strings=_counts(at, "strings", "modules in string"),
        module_order=given.module_order,
        module_count=at.value("modules", f"modules of {at.owner}"),
        on_building=given.on_building or _building_of_roof(given, models),
        modules_per_shutdown_unit=at.value("modules_per_shutdown_unit"),
        shutdown_v=at.value("shutdown_voltage", f"voltage of each shutdown unit of {at.owner} after rapid shutdown"),
        is_hazard_control_listed=given.hazard_control_listed,
        roof_planes=given.roof_planes,
    )


def _building_of_roof(given: Any, models: ProjectFile) -> str:
    """Return the building whose roof planes an array lies on, or on whose roof it is placed; empty where the file does not say."""
    planes = models.site.plan.roof_planes if models.site.plan is not None else {}
    found = next((planes[name].building for name in given.roof_planes if name in planes and planes[name].building), "")
    on_roof = given.place is not None and given.place.space == "roof"
    return found or (given.place.building if on_roof else "") or (usual_roof(models) if on_roof or given.roof_planes else "")


def _port(at: Cursor, name: str) -> Port:
    given: Any = at.model
    where = f"port {name} of {at.owner}"
    return Port(
        name=name,
        kind=given.kind,
        largest_output_a=at.value("max_output", f"largest output current of {where}"),
        largest_input_a=at.value("max_input", f"largest input current of {where}"),
        largest_short_circuit_a=at.value("max_short_circuit", f"largest short-circuit current of {where}"),
        largest_voltage_v=at.value("max_voltage", f"highest voltage of {where}"),
        lowest_voltage_v=at.value("min_voltage", f"lowest voltage of {where}"),
        largest_device_a=at.value("max_device", f"largest overcurrent device ahead of {where}"),
        when_lost=given.utility_lost,
    )


def _relay(at: Cursor) -> TransferRelay:
    given: Any = at.model
    return TransferRelay(
        carries_a=at.value("carries", f"rating of the transfer relay of {at.owner}"),
        withstand_ka=at.value("withstand", f"short-circuit rating of the transfer relay of {at.owner}"),
        poles=given.poles,
        switches_neutral=given.switches_neutral,
        listed_as=listings_of(given),
    )


def inverter_of(at: Cursor, common: dict[str, Any], models: ProjectFile) -> Equipment:
    """Build an inverter."""
    given: Any = at.model
    ports = {name: _port(at.child("ports", name, model=port), name) for name, port in given.ports.items()}
    return Inverter(
        **(common | {"neutral_bond": island_bond_of(at) or common["neutral_bond"]}),
        ports=ports,
        relay=_relay(at.child("transfer_relay")) if given.transfer_relay is not None else None,
        output_a=at.value("output", f"rated output current of {at.owner}"),
        limit_a=at.value("power_control_limit"),
        output_va=at.value("output_power"),
        output_v=at.value("ac_voltage", f"ac voltage of {at.owner}", "E"),
        functions=frozenset(given.functions),
        largest_dc_input_v=at.value("largest_dc_input"),
        largest_input_a=at.value("largest_input_current"),
        largest_short_circuit_a=at.value("largest_short_circuit_current"),
        lowest_dc_input_v=at.value("lowest_dc_input"),
        efficiency_percent=at.value("efficiency"),
        largest_device_a=at.value("largest_device"),
        fault_current_a=at.value("fault_current"),
        has_arc_fault_protection=given.arc_fault_protection,
        has_ground_fault_protection=given.ground_fault_protection,
        dc_backfeed_a=at.value("dc_backfeed", f"back-feed current of {at.owner} into its dc inputs"),
        is_listed_interactive=given.interactive_listed,
        forms_neutral=given.forms_neutral,
        trip_hz=at.value("frequency_trip", f"frequency at which {at.owner} trips"),
        droop_percent=at.value("frequency_droop"),
        energy=inverter_energy(models, at.owner),
    )
