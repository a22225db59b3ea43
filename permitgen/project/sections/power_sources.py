"""Modules, arrays, inverters, storage units and generators as a project file describes them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from permitgen.project.fields import (
    Coefficient,
    Count,
    Current,
    CurrentOrZero,
    Energy,
    FaultCurrent,
    Frequency,
    KiloAmperes,
    Percent,
    Power,
    Resistance,
    Section,
    SmallLength,
    Text,
    Voltage,
    VoltageOrZero,
    Watts,
    Weight,
    Whole,
    Words,
    YesNo,
    choice_schema,
    one_of,
)
from permitgen.project.sections.hardware import DeviceModel, IslandBond
from permitgen.project.sections.placed_equipment import EquipmentModel


class ModuleModel(Section, says="A PV module."):
    kind: Literal["module"] = "module"
    name: Text = ""
    power: Watts = None
    voc: Voltage = None
    isc: Current = None
    vmp: Voltage = None
    imp: Current = None
    voc_coefficient: Coefficient = None
    largest_series_fuse: Current = None
    system_voltage: Voltage = None
    crystalline_silicon: YesNo = None
    length: SmallLength = None
    width: SmallLength = None
    weight: Weight = None


class ModuleInverterModel(Section, says="A microinverter, or the inverter of an ac module."):
    kind: Literal["module_inverter"] = "module_inverter"
    name: Text = ""
    output: Current = None
    output_power: Power = None
    ac_voltage: Voltage = None
    largest_dc_input: Voltage = None
    largest_branch_device: Current = None
    largest_units_per_branch: Count = None
    fault_current: FaultCurrent = None
    trunk_resistance_per_unit: Resistance = None
    ac_module: YesNo = None
    interactive_listed: YesNo = None
    arc_fault_protection: YesNo = None
    ground_fault_protection: YesNo = None
    frequency_trip: Frequency = None
    frequency_droop: Percent = None


class ConverterModel(Section, says="A dc-to-dc converter at a module."):
    kind: Literal["converter"] = "converter"
    name: Text = ""
    output_voltage: Voltage = None
    output: Current = None
    largest_input: Voltage = None
    shutdown_voltage: Voltage = None
    string_voltage: Voltage = None
    arc_fault_protection: YesNo = None


FIRE_CLASSES = ("A", "B", "C", "none")


class PVArrayModel(EquipmentModel, says="An array; ``module``, ``module_inverter`` and ``converter`` name catalog entries."):
    kind: Literal["pv_array"]
    module: Text = ""
    module_inverter: Text = ""
    converter: Text = ""
    branches: dict[str, Count] = Field(default_factory=dict)
    strings: dict[str, Count] = Field(default_factory=dict)
    modules: Count = None
    on_building: Text = ""
    fire_class: Annotated[str, one_of(*FIRE_CLASSES), choice_schema(*FIRE_CLASSES)] = ""
    electrode_at_structure: YesNo = None
    modules_per_shutdown_unit: Count = None
    hazard_control_listed: YesNo = None
    shutdown_voltage: VoltageOrZero = None
    rapid_shutdown_listed: YesNo = None
    bonded_by_listed_parts: YesNo = None
    no_exposed_parts: YesNo = None
    pv_equipment_building: YesNo = None
    unenclosed_structure: YesNo = None
    bipolar: YesNo = None
    roof_planes: Words = ()
    attachments: Count = None
    attachment_spacing: SmallLength = None
    racking_weight: Weight = None
    fastener: Text = ""
    fastener_embedment: SmallLength = None
    flashing: Text = ""
    framing: Text = ""


DC_GROUNDING = ("functionally grounded", "ungrounded", "bipolar", "solidly grounded")


PORT_KINDS = ("utility", "load", "generator", "photovoltaic", "battery")
WHEN_LOST = ("stops", "islands", "only behind a relay")


class PortModel(Section, says="A port of an inverter, in the words of its data sheet."):
    kind: Annotated[str, one_of(*PORT_KINDS), choice_schema(*PORT_KINDS)]
    max_output: Current = None
    max_input: Current = None
    max_short_circuit: Current = None
    max_voltage: Voltage = None
    min_voltage: Voltage = None
    max_device: Current = None
    utility_lost: Annotated[str, one_of(*WHEN_LOST), choice_schema(*WHEN_LOST)] = ""


class TransferRelayModel(Section, says="The relay inside an inverter between its utility port and its load port."):
    carries: Current = None
    withstand: KiloAmperes = None
    poles: Whole | None = None
    switches_neutral: YesNo = None
    listed_as: Words = ()


class InverterModel(EquipmentModel, says="A string, hybrid or battery inverter."):
    kind: Literal["inverter"]
    ports: dict[str, PortModel] = Field(default_factory=dict)
    transfer_relay: TransferRelayModel | None = None
    island_bond: IslandBond | None = None
    output: Current = None
    output_power: Power = None
    ac_voltage: Voltage = None
    power_control_limit: Current = None
    functions: Words = ()
    energy: Annotated[str, one_of("photovoltaic", "energy storage"), choice_schema("photovoltaic", "energy storage")] = ""
    largest_dc_input: Voltage = None
    largest_input_current: Current = None
    lowest_dc_input: Voltage = None
    efficiency: Percent = None
    largest_device: Current = None
    fault_current: FaultCurrent = None
    arc_fault_protection: YesNo = None
    ground_fault_protection: YesNo = None
    dc_backfeed: CurrentOrZero = None
    dc_disconnect: YesNo = None
    dc_grounding: Annotated[str, one_of(*DC_GROUNDING), choice_schema(*DC_GROUNDING)] = ""
    interactive_listed: YesNo = None
    forms_neutral: YesNo = None
    frequency_trip: Frequency = None
    frequency_droop: Percent = None


class EnergyStorageSystemModel(
    EquipmentModel,
    says="A storage unit, or as many equal ``units`` (cabinets) as stand behind one output: ``unit_energy`` is that of one, all other "
    "ratings are those of the units together.",
):
    kind: Literal["energy_storage_system"]
    output: Current = None
    ac_voltage: Voltage = None
    charge_current: Current = None
    power_control_limit: Current = None
    energy: Energy = None
    units: Count = None
    unit_energy: Energy = None
    chemistry: Text = ""
    coupling: Annotated[str, one_of("ac", "dc"), choice_schema("ac", "dc")] = ""
    functions: Words = ()
    nominal_voltage: Voltage = None
    disconnect: YesNo = None
    largest_device: Current = None
    fault_current: FaultCurrent = None
    listed_system: YesNo = None
    listed_spacing: SmallLength = None
    charges_from_utility: YesNo = None
    interactive_listed: YesNo = None
    forms_neutral: YesNo = None
    maximum_voltage: Voltage = None
    live_parts_accessible: YesNo = None
    emergency_shutdown: YesNo = None
    charge_control: YesNo = None


class GeneratorModel(EquipmentModel, says="A generator."):
    kind: Literal["generator"]
    output: Current = None
    output_power: Power = None
    ac_voltage: Voltage = None
    breaker: DeviceModel | None = None
    subtransient_reactance: Percent = None
    outside_stop: YesNo = None
    disconnect: YesNo = None
    portable: YesNo = False
    overload_protected: YesNo = None
    stop_needs_reset: YesNo = None
    disconnect_lockable: YesNo = None
    disconnect_inside_housing: YesNo = None
    in_parallel_listed: YesNo = None
    receptacles_protected: YesNo = None
