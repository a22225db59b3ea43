"""The sections ``catalog`` and ``equipment``: one model per kind of equipment.

A catalog entry describes hardware once; an equipment entry places it and says what is done with it here. Both use the same
model: an equipment entry's keys stand over those of its catalog entry.
"""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field, PlainValidator, WithJsonSchema

from permitgen.project import quantities
from permitgen.project.fields import (
    Count,
    Current,
    Factor,
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
    TransformerRating,
    Voltage,
    Volume,
    Whole,
    Words,
    YesNo,
    choice_schema,
    one_of,
)
from permitgen.project.sections.hardware import DeviceModel, IslandBond
from permitgen.project.sections.placed_equipment import EquipmentModel, OnThePathModel
from permitgen.project.sections.power_sources import (
    ConverterModel,
    EnergyStorageSystemModel,
    GeneratorModel,
    InverterModel,
    ModuleInverterModel,
    ModuleModel,
    PVArrayModel,
)

Shed = Annotated[str, one_of("none", "island", "always"), choice_schema("none", "island", "always")]
SupplyEnd = Annotated[str, one_of("top", "bottom", "center"), choice_schema("top", "bottom", "center")]


def _read_system_voltage(value: Any) -> str:
    text = value.strip() if isinstance(value, str) else str(value)
    quantities.parse_system_voltage(text)
    return text


SystemVoltageText = Annotated[
    str, PlainValidator(_read_system_voltage), WithJsonSchema({"type": "string", "examples": ["120/240 V", "208Y/120 V"]})
]


# Why a building may have a further service.
FURTHER_SERVICE = ("parallel power production", "fire pump", "emergency or standby system", "different characteristics", "none")


class UtilityServiceModel(OnThePathModel, says="The utility's service point."):
    kind: Literal["utility_service"]
    voltage: SystemVoltageText = "120/240 V"
    transformer: TransformerRating = None
    transformer_impedance: Percent = None
    x_over_r: Factor = None
    reason_for_further_service: Annotated[str, one_of(*FURTHER_SERVICE), choice_schema(*FURTHER_SERVICE)] = ""
    single_phase_sources_accepted: YesNo = None
    ground_fault_equipment_sees_sources: YesNo = None


class MeterModel(OnThePathModel, says="A revenue meter."):
    kind: Literal["meter"]


SPLICED = ("copper", "aluminum", "copper and aluminum")
LINE_SIDE_CONNECTORS = ("marked for the line side", "listed", "neither")


class JunctionBoxModel(
    OnThePathModel,
    says="A junction or pull box. ``pull`` says how conductors of 4 AWG and larger pass; ``volume`` is asked for smaller ones.",
):
    kind: Literal["junction_box"]
    volume: Volume = None
    devices: Count = None
    terminal_blocks: Count = None
    internal_clamps: YesNo = None
    pull: Annotated[str, one_of("straight", "angle", "u", "splice"), choice_schema("straight", "angle", "u", "splice")] = ""
    entry_spacing: SmallLength = None
    marked_for_conductors: YesNo = None
    splices_listed_for: Annotated[str, one_of(*SPLICED), choice_schema(*SPLICED)] = ""
    line_side_connectors: Annotated[str, one_of(*LINE_SIDE_CONNECTORS), choice_schema(*LINE_SIDE_CONNECTORS)] = ""
    barrier: YesNo = None


REPLACEMENT_EVIDENCE = ("listed for the enclosure", "identified for the enclosure", "field evaluated", "none")


class PanelboardModel(
    OnThePathModel,
    says="A panelboard. ``poles_in_use`` counts the poles of breakers that the file does not show as circuits. ``spaces_used`` and "
    "``all_breakers_but_main`` are totals as built, the breakers of this file among them; a breaker of two poles counts once in the sum.",
):
    none_means: ClassVar[dict[str, tuple[str, str]]] = {"main": ("main_lugs_only", "yes")}
    kind: Literal["panelboard"]
    busbar: Current = None
    main: DeviceModel | None = None
    main_lugs_only: YesNo = False
    supply_end: SupplyEnd = ""
    spaces: Whole | None = None
    largest_circuits: Count = None
    poles_in_use: Count = None
    spaces_used: Count = None
    all_breakers_but_main: Current = None
    largest_breaker: Current = None
    feed_through_lugs: YesNo = None
    interlocked_breaker: Whole | None = None
    neutral_bus: Current = None
    all_breakers_in_file: YesNo = None
    power_control_monitored: YesNo = None
    engineering_study: Text = ""
    series_rating: KiloAmperes = None
    existing_enclosure: YesNo = None
    replacement_evidence: Annotated[str, one_of(*REPLACEMENT_EVIDENCE), choice_schema(*REPLACEMENT_EVIDENCE)] = ""


class MeterMainModel(
    PanelboardModel,
    says="Meter, main and a panelboard in one enclosure. The utility's conductors end on ``line``, those to a panel beyond begin at "
    "``feed_through``, the lugs at the end of the busbar.",
):
    kind: Literal["meter_main"]  # type: ignore[assignment]


class AutotransformerModel(Section, says="The neutral former."):
    neutral_current: Current = None
    rating: TransformerRating = None
    rating_means: Annotated[str, one_of("load", "winding"), choice_schema("load", "winding")] = ""
    peak_current: Current = None
    peak_time: Seconds = None
    breaker: DeviceModel | None = None
    opens_together_with_sources: YesNo = None
    shares_breaker_with: Text = ""


class DCCombinerModel(EquipmentModel, says="A dc busbar on which batteries and inverters meet; their fuses stand on its spaces."):
    kind: Literal["dc_combiner"]
    busbar: Current = None
    voltage: Voltage = None
    spaces: Whole | None = None
    qualified_persons_only: YesNo = None


class MicrogridInterconnectDeviceModel(OnThePathModel, says="The device that islands the house."):
    none_means: ClassVar[dict[str, tuple[str, str]]] = {"main": ("main_lugs_only", "yes")}
    kind: Literal["microgrid_interconnect_device"]
    main: DeviceModel | None = None
    main_lugs_only: YesNo = False
    contactor_rating: Current = None
    contactor_poles: Whole | None = None
    contactor_switches_neutral: YesNo = None
    contactor_short_circuit_rating: KiloAmperes = None
    island_bond: IslandBond | None = None
    busbar: Current = None
    supply_end: SupplyEnd = ""
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


class DisconnectModel(OnThePathModel, says="A switch in its own enclosure."):
    kind: Literal["disconnect"]
    rating: Current = None
    device: DeviceModel | None = None
    poles: Whole | None = None
    switches_neutral: YesNo = None
    purpose: Annotated[
        str,
        one_of("service", "pv system", "energy storage", "generator", "emergency", "maintenance"),
        choice_schema("service", "pv system", "energy storage", "generator", "emergency", "maintenance"),
    ] = ""
    lockable: YesNo = None
    load_break: YesNo = None
    remote_operated: YesNo = None
    voltage: Voltage = None
    overcurrent_adjacent: YesNo = None


class TransferSwitchModel(OnThePathModel, says="A transfer switch."):
    kind: Literal["transfer_switch"]
    rating: Current = None
    device: DeviceModel | None = None
    switches_neutral: YesNo = None
    automatic: YesNo = None
    interlocked: YesNo = None
    poles: Whole | None = None


class PowerInletModel(
    EquipmentModel,
    says="An inlet on the wall for the cord of a portable generator; ``generator`` is the tag of the machine.",
):
    kind: Literal["power_inlet"]
    rating: Current = None
    generator: Text = ""
    male_contacts: YesNo = None
    interlocked_disconnect: YesNo = None


class RapidShutdownInitiatorModel(EquipmentModel, says="The rapid shutdown switch."):
    kind: Literal["rapid_shutdown_initiator"]
    shuts_down: Words = ()
    also_stops: Words = ()
    lockable: YesNo = None
    poles: Whole | None = None
    shows_off_and_on: YesNo = None


class EVSupplyEquipmentModel(EquipmentModel, says="Electric vehicle supply equipment."):
    kind: Literal["ev_supply_equipment"]
    current: Current = None
    setting: Current = None
    exports: YesNo = None
    output: Current = None
    ac_voltage: Voltage = None
    shed: Shed = "none"


class ApplianceModel(EquipmentModel, says="An appliance with a circuit of its own."):
    kind: Literal["appliance"]
    current: Current = None
    power: Power = None
    minimum_circuit_ampacity: Current = None
    largest_device: Current = None
    continuous: YesNo = None
    category: Text = ""
    shed: Shed = "none"


class EnergyMonitorModel(EquipmentModel, says="Energy monitor."):
    kind: Literal["energy_monitor"]


class GroundingElectrodeSystemModel(
    EquipmentModel,
    says="Electrodes and their conductor. Where it lands at several service disconnects, ``conductor`` is the common one and ``to_each`` "
    "the tap to each of them; ``to_each`` alone are conductors of their own from the electrodes.",
):
    kind: Literal["grounding_electrode_system"]
    electrodes: Words = ()
    conductor: Size | None = None
    conductor_material: Annotated[str, one_of("copper", "aluminum"), choice_schema("copper", "aluminum")] = "copper"
    lands_at: Words = ()
    to_each: dict[str, Size] = Field(default_factory=dict)
    second_rod: YesNo = None
    bonding_jumper: Size | None = None
    bonding_jumper_material: Annotated[str, one_of("copper", "aluminum"), choice_schema("copper", "aluminum")] = "copper"
    factory_bonding_jumper: YesNo = None
    in_raceway: YesNo = None
    rod_resistance: Resistance = None
    rod_spacing: Length = None
    intersystem_terminals: Count = None
    water_piping_bonded: YesNo = None
    gas_piping_bonded: YesNo = None
    conductor_above_earth: SmallLength = None
    water_piping: Annotated[str, one_of("metal", "plastic"), choice_schema("metal", "plastic")] = ""
    water_bonding_conductor: Size | None = None


EquipmentEntry = Annotated[
    UtilityServiceModel
    | MeterModel
    | JunctionBoxModel
    | PanelboardModel
    | MeterMainModel
    | DCCombinerModel
    | MicrogridInterconnectDeviceModel
    | PVArrayModel
    | InverterModel
    | EnergyStorageSystemModel
    | GeneratorModel
    | DisconnectModel
    | TransferSwitchModel
    | PowerInletModel
    | RapidShutdownInitiatorModel
    | EVSupplyEquipmentModel
    | ApplianceModel
    | EnergyMonitorModel
    | GroundingElectrodeSystemModel,
    Field(discriminator="kind"),
]

CatalogEntry = Annotated[
    UtilityServiceModel
    | MeterModel
    | JunctionBoxModel
    | PanelboardModel
    | MeterMainModel
    | DCCombinerModel
    | MicrogridInterconnectDeviceModel
    | PVArrayModel
    | InverterModel
    | EnergyStorageSystemModel
    | GeneratorModel
    | DisconnectModel
    | TransferSwitchModel
    | PowerInletModel
    | RapidShutdownInitiatorModel
    | EVSupplyEquipmentModel
    | ApplianceModel
    | EnergyMonitorModel
    | GroundingElectrodeSystemModel
    | ModuleModel
    | ModuleInverterModel
    | ConverterModel,
    Field(discriminator="kind"),
]

__all__ = [
    "ApplianceModel",
    "AutotransformerModel",
    "CatalogEntry",
    "ConverterModel",
    "DCCombinerModel",
    "DisconnectModel",
    "EVSupplyEquipmentModel",
    "EnergyMonitorModel",
    "EnergyStorageSystemModel",
    "EquipmentEntry",
    "EquipmentModel",
    "GeneratorModel",
    "GroundingElectrodeSystemModel",
    "InverterModel",
    "JunctionBoxModel",
    "MeterMainModel",
    "MeterModel",
    "MicrogridInterconnectDeviceModel",
    "ModuleInverterModel",
    "ModuleModel",
    "PVArrayModel",
    "PanelboardModel",
    "PowerInletModel",
    "RapidShutdownInitiatorModel",
    "TransferSwitchModel",
    "UtilityServiceModel",
]
