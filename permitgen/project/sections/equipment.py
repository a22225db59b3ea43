"""The sections ``catalog`` and ``equipment``: one model per kind of equipment.

A catalog entry describes hardware once; an equipment entry places it and says what is done with it here. Both use the same
model: an equipment entry's keys stand over those of its catalog entry.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, PlainValidator, WithJsonSchema

from permitgen.project import quantities
from permitgen.project.fields import (
    Coefficient,
    Count,
    CrossSection,
    Current,
    CurrentOrZero,
    Energy,
    Factor,
    FaultCurrent,
    Frequency,
    KiloAmperes,
    Length,
    Percent,
    Power,
    Resistance,
    Seconds,
    Section,
    Size,
    SmallLength,
    Text,
    TradeSize,
    TransformerRating,
    Voltage,
    VoltageOrZero,
    Volume,
    Watts,
    Weight,
    Whole,
    Words,
    YesNo,
    choice_schema,
    one_of,
)
from permitgen.project.sections.hardware import Bond, DeviceModel, IslandBond, PlaceModel, TerminalModel

Shed = Annotated[str, one_of("none", "island", "always"), choice_schema("none", "island", "always")]
SupplyEnd = Annotated[str, one_of("top", "bottom", "center"), choice_schema("top", "bottom", "center")]


class EntryZoneModel(Section):
    """A rectangle on a wall in which raceways may enter."""

    wall: Annotated[str, one_of("top", "bottom", "left", "right", "back"), choice_schema("top", "bottom", "left", "right", "back")]
    left: SmallLength = None
    right: SmallLength = None
    back: SmallLength = None
    front: SmallLength = None
    largest: TradeSize | None = None


class WiringSpaceModel(Section):
    """A wiring space that other circuits pass through, or are spliced or tapped in."""

    width: SmallLength = None
    depth: SmallLength = None
    circuits: Words = ()
    splices: YesNo = None
    splices_area: CrossSection = None
    labeled: YesNo = None


class EquipmentModel(Section):
    """What every kind may state."""

    catalog: Text = ""
    name: Text = ""
    place: PlaceModel | None = None
    role: Words = ()
    listed_as: Words = ()
    status: Annotated[str, one_of("new", "existing", "removed", "replaced"), choice_schema("new", "existing", "removed", "replaced")] = (
        "new"
    )
    model: Text = ""
    enclosure_type: Text = ""
    short_circuit_rating: KiloAmperes = None
    neutral_bond: Bond | None = None
    terminals: dict[str, TerminalModel] = Field(default_factory=dict)
    width: SmallLength = None
    height: SmallLength = None
    depth: SmallLength = None
    weight: Weight = None
    bending_space_top: SmallLength = None
    bending_space_bottom: SmallLength = None
    bending_space_left: SmallLength = None
    bending_space_right: SmallLength = None
    entry_zones: list[EntryZoneModel] = Field(default_factory=list)
    wiring_space: WiringSpaceModel | None = None
    grounding_electrode_conductor: Size | None = None
    surge_protection: Annotated[str, one_of("type 1", "type 2", "none"), choice_schema("type 1", "type 2", "none")] = ""
    surge_discharge: KiloAmperes = None
    surge_short_circuit_rating: KiloAmperes = None
    load_management_setting: Current = None


def _read_system_voltage(value: Any) -> str:
    text = value.strip() if isinstance(value, str) else str(value)
    quantities.parse_system_voltage(text)
    return text


SystemVoltageText = Annotated[
    str, PlainValidator(_read_system_voltage), WithJsonSchema({"type": "string", "examples": ["120/240 V", "208Y/120 V"]})
]


class UtilityServiceModel(EquipmentModel):
    """The utility's service point."""

    kind: Literal["utility_service"]
    voltage: SystemVoltageText = "120/240 V"
    available_fault_current: FaultCurrent = None
    fault_current_source: Text = ""
    transformer: TransformerRating = None
    transformer_impedance: Percent = None
    x_over_r: Factor = None


class MeterModel(EquipmentModel):
    """A revenue meter."""

    kind: Literal["meter"]


SPLICED = ("copper", "aluminum", "copper and aluminum")


class JunctionBoxModel(EquipmentModel):
    """A junction or pull box. ``pull`` says how conductors of 4 AWG and larger pass; ``volume`` is asked for smaller ones."""

    kind: Literal["junction_box"]
    volume: Volume = None
    devices: Count = None
    terminal_blocks: Count = None
    internal_clamps: YesNo = None
    pull: Annotated[str, one_of("straight", "angle", "u", "splice"), choice_schema("straight", "angle", "u", "splice")] = ""
    entry_spacing: SmallLength = None
    marked_for_conductors: YesNo = None
    splices_listed_for: Annotated[str, one_of(*SPLICED), choice_schema(*SPLICED)] = ""
    barrier: YesNo = None


class PanelboardModel(EquipmentModel):
    """A panelboard."""

    kind: Literal["panelboard"]
    busbar: Current = None
    main: DeviceModel | None = None
    main_lugs_only: YesNo = False
    supply_end: SupplyEnd = "top"
    spaces: Whole | None = None
    largest_circuits: Count = None
    poles_in_use: Count = None
    largest_breaker: Current = None
    feed_through_lugs: YesNo = False
    interlocked_breaker: Whole | None = None
    neutral_bus: Current = None
    all_breakers_in_file: YesNo = None
    power_control_monitored: YesNo = None
    engineering_study: Text = ""
    series_rating: KiloAmperes = None


class AutotransformerModel(Section):
    """The neutral former."""

    neutral_current: Current = None
    rating: TransformerRating = None
    rating_means: Annotated[str, one_of("load", "winding"), choice_schema("load", "winding")] = ""
    peak_current: Current = None
    peak_time: Seconds = None
    breaker: DeviceModel | None = None
    opens_together_with_sources: YesNo = None
    shares_breaker_with: Text = ""


class MicrogridInterconnectDeviceModel(EquipmentModel):
    """The device that islands the house."""

    kind: Literal["microgrid_interconnect_device"]
    main: DeviceModel | None = None
    main_lugs_only: YesNo = False
    contactor_rating: Current = None
    contactor_poles: Whole = 2
    contactor_switches_neutral: YesNo = None
    contactor_short_circuit_rating: KiloAmperes = None
    island_bond: IslandBond | None = None
    busbar: Current = None
    supply_end: SupplyEnd = "top"
    spaces: Whole | None = None
    largest_breaker: Current = None
    listed_supply: Current = None
    listed_sources: Current = None
    autotransformer: AutotransformerModel | None = None
    load_device: DeviceModel | None = None
    power_control_monitored: YesNo = None
    engineering_study: Text = ""
    largest_load_device: Current = None
    shutdown_input: Text = ""
    positions: Words = ()
    position_before_energizing: Text = ""
    position_in_service: Text = ""
    pv_per_storage: Factor = None
    island_frequency_high: Frequency = None
    generator_in_parallel_listed: YesNo = None


class ModuleModel(Section):
    """A PV module."""

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


class ModuleInverterModel(Section):
    """A microinverter, or the inverter of an ac module."""

    kind: Literal["module_inverter"] = "module_inverter"
    name: Text = ""
    output: Current = None
    output_power: Power = None
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


class ConverterModel(Section):
    """A dc-to-dc converter at a module."""

    kind: Literal["converter"] = "converter"
    name: Text = ""
    output_voltage: Voltage = None
    output: Current = None
    largest_input: Voltage = None
    shutdown_voltage: Voltage = None
    string_voltage: Voltage = None
    arc_fault_protection: YesNo = None


class PVArrayModel(EquipmentModel):
    """An array; ``module``, ``module_inverter`` and ``converter`` name catalog entries."""

    kind: Literal["pv_array"]
    module: Text = ""
    module_inverter: Text = ""
    converter: Text = ""
    branches: dict[str, Count] = Field(default_factory=dict)
    strings: dict[str, Count] = Field(default_factory=dict)
    modules: Count = None
    on_building: Text = ""
    modules_per_shutdown_unit: Count = None
    hazard_control_listed: YesNo = None
    shutdown_voltage: VoltageOrZero = None
    rapid_shutdown_listed: YesNo = None
    no_exposed_parts: YesNo = None
    pv_equipment_building: YesNo = None
    unenclosed_structure: YesNo = None
    roof_planes: Words = ()


class InverterModel(EquipmentModel):
    """A string, hybrid or battery inverter."""

    kind: Literal["inverter"]
    output: Current = None
    output_power: Power = None
    power_control_limit: Current = None
    functions: Words = ("interactive",)
    energy: Annotated[str, one_of("photovoltaic", "energy storage"), choice_schema("photovoltaic", "energy storage")] = "photovoltaic"
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
    interactive_listed: YesNo = None
    forms_neutral: YesNo = None
    frequency_trip: Frequency = None
    frequency_droop: Percent = None


class EnergyStorageSystemModel(EquipmentModel):
    """A storage unit."""

    kind: Literal["energy_storage_system"]
    output: Current = None
    charge_current: Current = None
    power_control_limit: Current = None
    energy: Energy = None
    chemistry: Text = ""
    coupling: Annotated[str, one_of("ac", "dc"), choice_schema("ac", "dc")] = "ac"
    functions: Words = ("interactive", "multimode")
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


class GeneratorModel(EquipmentModel):
    """A generator."""

    kind: Literal["generator"]
    output: Current = None
    output_power: Power = None
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


class DisconnectModel(EquipmentModel):
    """A switch in its own enclosure."""

    kind: Literal["disconnect"]
    rating: Current = None
    device: DeviceModel | None = None
    poles: Whole = 2
    switches_neutral: YesNo = False
    purpose: Annotated[
        str,
        one_of("service", "pv system", "energy storage", "generator", "emergency", "maintenance"),
        choice_schema("service", "pv system", "energy storage", "generator", "emergency", "maintenance"),
    ] = "maintenance"
    lockable: YesNo = None
    load_break: YesNo = None
    voltage: Voltage = None


class TransferSwitchModel(EquipmentModel):
    """A transfer switch."""

    kind: Literal["transfer_switch"]
    rating: Current = None
    device: DeviceModel | None = None
    switches_neutral: YesNo = None
    automatic: YesNo = None
    interlocked: YesNo = None
    poles: Whole = 2


class RapidShutdownInitiatorModel(EquipmentModel):
    """The rapid shutdown switch."""

    kind: Literal["rapid_shutdown_initiator"]
    shuts_down: Words = ()
    also_stops: Words = ()
    lockable: YesNo = None
    poles: Whole = 2
    shows_off_and_on: YesNo = None


class EVSupplyEquipmentModel(EquipmentModel):
    """Electric vehicle supply equipment."""

    kind: Literal["ev_supply_equipment"]
    current: Current = None
    setting: Current = None
    exports: YesNo = False
    output: Current = None
    shed: Shed = "none"


class ApplianceModel(EquipmentModel):
    """An appliance with a circuit of its own."""

    kind: Literal["appliance"]
    current: Current = None
    power: Power = None
    minimum_circuit_ampacity: Current = None
    largest_device: Current = None
    continuous: YesNo = False
    category: Text = "fixed appliance"
    shed: Shed = "none"


class GatewayModel(EquipmentModel):
    """Gateway or monitor."""

    kind: Literal["gateway"]


class GroundingElectrodeSystemModel(EquipmentModel):
    """Electrodes and their conductor."""

    kind: Literal["grounding_electrode_system"]
    electrodes: Words = ()
    conductor: Size | None = None
    conductor_material: Annotated[str, one_of("copper", "aluminum"), choice_schema("copper", "aluminum")] = "copper"
    lands_at: Text = ""
    second_rod: YesNo = None
    bonding_jumper: Size | None = None
    bonding_jumper_material: Annotated[str, one_of("copper", "aluminum"), choice_schema("copper", "aluminum")] = "copper"
    factory_bonding_jumper: YesNo = None
    in_raceway: YesNo = None
    rod_resistance: Resistance = None
    rod_spacing: Length = None


EquipmentEntry = Annotated[
    UtilityServiceModel
    | MeterModel
    | JunctionBoxModel
    | PanelboardModel
    | MicrogridInterconnectDeviceModel
    | PVArrayModel
    | InverterModel
    | EnergyStorageSystemModel
    | GeneratorModel
    | DisconnectModel
    | TransferSwitchModel
    | RapidShutdownInitiatorModel
    | EVSupplyEquipmentModel
    | ApplianceModel
    | GatewayModel
    | GroundingElectrodeSystemModel,
    Field(discriminator="kind"),
]

CatalogEntry = Annotated[
    UtilityServiceModel
    | MeterModel
    | JunctionBoxModel
    | PanelboardModel
    | MicrogridInterconnectDeviceModel
    | PVArrayModel
    | InverterModel
    | EnergyStorageSystemModel
    | GeneratorModel
    | DisconnectModel
    | TransferSwitchModel
    | RapidShutdownInitiatorModel
    | EVSupplyEquipmentModel
    | ApplianceModel
    | GatewayModel
    | GroundingElectrodeSystemModel
    | ModuleModel
    | ModuleInverterModel
    | ConverterModel,
    Field(discriminator="kind"),
]
