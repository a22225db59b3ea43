"""The sections ``catalog`` and ``equipment``: one model per kind of equipment.

A catalog entry describes hardware once; an equipment entry places it and says what is done with it here. Both use the same
model: an equipment entry's keys stand over those of its catalog entry.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from permitgen.project.fields import (
    Count,
    Current,
    Factor,
    Frequency,
    KiloAmperes,
    Length,
    Power,
    Resistance,
    Seconds,
    Section,
    Size,
    SmallLength,
    Text,
    TransformerRating,
    Voltage,
    Whole,
    Words,
    YesNo,
    choice_schema,
    described,
    one_of,
)
from permitgen.project.sections import meanings
from permitgen.project.sections.directory import MEANING, Directory
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
from permitgen.project.sections.service_equipment import JunctionBoxModel, MeterModel, UtilityServiceModel

Shed = Annotated[str, one_of("none", "island", "always"), choice_schema("none", "island", "always")]
SupplyEnd = Annotated[str, one_of("top", "bottom", "center"), choice_schema("top", "bottom", "center")]


REPLACEMENT_EVIDENCE = ("listed for the enclosure", "identified for the enclosure", "field evaluated", "none")


class PanelboardModel(
    OnThePathModel,
    says="A panelboard. ``poles_in_use`` counts the poles of breakers that the file does not show as circuits. ``spaces_used`` and "
    "``all_breakers_but_main`` are totals as built, the breakers of this file among them; a breaker of two poles counts once in the sum.",
):
    none_means: ClassVar[dict[str, tuple[str, str]]] = {"main": ("main_lugs_only", "yes")}
    kind: Literal["panelboard"] = described(..., meanings.KIND)
    busbar: Current = described(None, meanings.BUSBAR)
    main: DeviceModel | None = described(None, meanings.MAIN)
    main_lugs_only: YesNo = described(False, meanings.MAIN_LUGS_ONLY)
    supply_end: SupplyEnd = described("", meanings.SUPPLY_END)
    spaces: Whole | None = described(None, meanings.SPACES)
    largest_circuits: Count = described(None, "Most breaker poles that the panelboard is listed for, from the label inside the door.")
    directory: Directory = described(list, MEANING)
    poles_in_use: Count = described(
        None, "How many poles of breakers are in use that this file does not show as circuits, counted at the panel."
    )
    spaces_used: Count = described(
        None, "How many spaces are taken in all as built, counted at the panel, the breakers of this file among them."
    )
    all_breakers_but_main: Current = described(
        None, "Sum of the ratings of all breakers but the main as built, in amperes; a two-pole breaker counts once."
    )
    largest_breaker: Current = described(None, meanings.LARGEST_BREAKER)
    feed_through_lugs: YesNo = described(
        None, "Whether the panel has feed-through lugs at the far end of its busbar that feed another panel."
    )
    interlocked_breaker: Whole | None = described(
        None, "Number of the space of a back-fed breaker that a listed interlock keeps open while the main is closed."
    )
    neutral_bus: Current = described(None, "Rating of the neutral bus, in amperes, from the label inside the door.")
    all_breakers_in_file: YesNo = described(
        None, "Whether every breaker of this panel stands in this file as a circuit or load, so that sums are complete."
    )
    power_control_monitored: YesNo = described(None, meanings.POWER_CONTROL_MONITORED)
    engineering_study: Text = described("", meanings.ENGINEERING_STUDY)
    series_rating: KiloAmperes = described(
        None, "Tested series rating of this panel's breakers with the device ahead, in kiloamperes, from the label inside the door."
    )
    existing_enclosure: YesNo = described(None, "Whether the old enclosure stays and only the interior is replaced.")
    replacement_evidence: Annotated[str, one_of(*REPLACEMENT_EVIDENCE), choice_schema(*REPLACEMENT_EVIDENCE)] = described(
        "", "What speaks for a new interior in an old enclosure: listed or identified for it, field evaluated, or none."
    )


class MeterMainModel(
    PanelboardModel,
    says="Meter, main and a panelboard in one enclosure. The utility's conductors end on ``line``, those to a panel beyond begin at "
    "``feed_through``, the lugs at the end of the busbar.",
):
    kind: Literal["meter_main"] = described(..., meanings.KIND)  # type: ignore[assignment]


class AutotransformerModel(Section, says="The neutral former."):
    neutral_current: Current = described(None, "Continuous neutral current that it carries, in amperes, from the nameplate.")
    rating: TransformerRating = described(None, "Rating in kilovolt-amperes from the nameplate.")
    rating_means: Annotated[str, one_of("load", "winding"), choice_schema("load", "winding")] = described(
        "", "Whether the rating in kilovolt-amperes is that of the load it balances or of its winding, from the data sheet."
    )
    peak_current: Current = described(None, "Neutral current that it carries for a short time, in amperes, from the data sheet.")
    peak_time: Seconds = described(None, "How long it carries its peak current, in seconds, from the data sheet.")
    breaker: DeviceModel | None = described(None, "Breaker that protects the autotransformer, read off its handle.")
    opens_together_with_sources: YesNo = described(
        None, "Whether its breaker and the sources of the island open together, so that no 120 V load is left without neutral."
    )
    shares_breaker_with: Text = described(
        "", "Tag of what its breaker shares a body with (a quad breaker), left out where it stands alone."
    )


class DCCombinerModel(EquipmentModel, says="A dc busbar on which batteries and inverters meet; their fuses stand on its spaces."):
    kind: Literal["dc_combiner"] = described(..., meanings.KIND)
    busbar: Current = described(None, meanings.BUSBAR)
    voltage: Voltage = described(None, "Highest dc voltage that the combiner is rated for, in volts, from its nameplate.")
    spaces: Whole | None = described(None, "How many positions for fuses or breakers the combiner has, counted or from its data sheet.")
    directory: Directory = described(list, MEANING)
    qualified_persons_only: YesNo = described(
        None, "Whether only qualified persons reach its fuses, because the enclosure is locked or opened with a tool."
    )


class MicrogridInterconnectDeviceModel(OnThePathModel, says="The device that islands the house."):
    none_means: ClassVar[dict[str, tuple[str, str]]] = {"main": ("main_lugs_only", "yes")}
    kind: Literal["microgrid_interconnect_device"] = described(..., meanings.KIND)
    main: DeviceModel | None = described(None, meanings.MAIN)
    main_lugs_only: YesNo = described(False, meanings.MAIN_LUGS_ONLY)
    contactor_rating: Current = described(
        None, "Continuous current of the contactor that islands the house, in amperes, from the nameplate."
    )
    contactor_poles: Whole | None = described(None, "How many poles the contactor opens, from the wiring diagram.")
    contactor_switches_neutral: YesNo = described(
        None, "Whether the contactor opens the neutral too, from the wiring diagram; it makes the island separately derived."
    )
    contactor_short_circuit_rating: KiloAmperes = described(
        None, "Short-circuit current that the contactor withstands, in kiloamperes, from the data sheet."
    )
    island_bond: IslandBond | None = described(None, meanings.ISLAND_BOND)
    busbar: Current = described(None, meanings.BUSBAR)
    supply_end: SupplyEnd = described("", meanings.SUPPLY_END)
    spaces: Whole | None = described(None, meanings.SPACES)
    directory: Directory = described(list, MEANING)
    largest_breaker: Current = described(None, meanings.LARGEST_BREAKER)
    listed_supply: Current = described(None, "Largest utility current that the device is listed for, in amperes, from the data sheet.")
    listed_sources: Current = described(
        None, "Largest sum of source currents that the device is listed for, in amperes, from the data sheet."
    )
    autotransformer: AutotransformerModel | None = described(None, "Neutral former inside the device, with its nameplate and breaker.")
    load_device: DeviceModel | None = described(
        None, "Overcurrent device ahead of the load terminals, read off its handle; none for plain lugs."
    )
    power_control_monitored: YesNo = described(None, meanings.POWER_CONTROL_MONITORED)
    engineering_study: Text = described("", meanings.ENGINEERING_STUDY)
    largest_load_device: Current = described(None, "Largest overcurrent device that the load position takes, in amperes, from the label.")
    shutdown_input: Text = described(
        "", "What the device's shutdown input expects, for example normally closed loop, 12 V dc, from the data sheet."
    )
    positions: Words = described((), "Positions of its override switch in their order, from the label.")
    position_before_energizing: Text = described(
        "", "Position in which the override switch stands before power is put on, from the instructions."
    )
    position_in_service: Text = described("", "Position in which the override switch is left for service, from the instructions.")
    pv_per_storage: Factor = described(
        None, "Most PV output current for each ampere of storage on the island, a plain number from the instructions."
    )
    island_frequency_high: Frequency = described(
        None, "Highest frequency to which the island's storage shifts to curtail PV, in hertz, from the instructions."
    )
    generator_in_parallel_listed: YesNo = described(None, "Whether the device is listed to run a generator beside PV or storage.")


class DisconnectModel(OnThePathModel, says="A switch in its own enclosure."):
    kind: Literal["disconnect"] = described(..., meanings.KIND)
    rating: Current = described(None, meanings.SWITCH_RATING)
    device: DeviceModel | None = described(None, meanings.SWITCH_DEVICE)
    poles: Whole | None = described(None, meanings.POLES)
    switches_neutral: YesNo = described(None, meanings.SWITCHES_NEUTRAL)
    purpose: Annotated[
        str,
        one_of("service", "pv system", "energy storage", "generator", "emergency", "maintenance"),
        choice_schema("service", "pv system", "energy storage", "generator", "emergency", "maintenance"),
    ] = described("", "What the switch disconnects: service, pv system, energy storage, generator, emergency or maintenance.")
    lockable: YesNo = described(None, meanings.LOCKABLE)
    load_break: YesNo = described(None, "Whether the switch is rated to open under load, from its nameplate.")
    remote_operated: YesNo = described(None, "Whether the switch can be opened from a distance and locally without reaching live parts.")
    voltage: Voltage = described(None, "Voltage that the switch is rated for, in volts, from its nameplate.")
    overcurrent_adjacent: YesNo = described(None, "Whether the overcurrent device of an unfused switch stands immediately beside it.")


class TransferSwitchModel(OnThePathModel, says="A transfer switch."):
    kind: Literal["transfer_switch"] = described(..., meanings.KIND)
    rating: Current = described(None, meanings.SWITCH_RATING)
    device: DeviceModel | None = described(None, meanings.SWITCH_DEVICE)
    switches_neutral: YesNo = described(None, meanings.SWITCHES_NEUTRAL)
    automatic: YesNo = described(None, "Whether the switch transfers by itself when the utility is lost.")
    interlocked: YesNo = described(
        None, "Say no where nothing keeps both positions from being closed together; a listed transfer switch is interlocked."
    )
    poles: Whole | None = described(None, meanings.POLES)


class PowerInletModel(
    EquipmentModel,
    says="An inlet on the wall for the cord of a portable generator; ``generator`` is the tag of the machine.",
):
    kind: Literal["power_inlet"] = described(..., meanings.KIND)
    rating: Current = described(None, "Current rating of the inlet, in amperes, from its face or cover.")
    generator: Text = described("", "Tag of the portable generator whose cord is plugged in here.")
    male_contacts: YesNo = described(None, "Whether the inlet has male contacts, so that nothing live can be touched on an unplugged cord.")
    interlocked_disconnect: YesNo = described(None, "Whether a switch at the inlet keeps the plug from being drawn under load.")


class RapidShutdownInitiatorModel(EquipmentModel, says="The rapid shutdown switch."):
    kind: Literal["rapid_shutdown_initiator"] = described(..., meanings.KIND)
    shuts_down: Words = described((), "Tags of the arrays whose rapid shutdown this switch starts.")
    also_stops: Words = described((), "Tags of the other sources that this switch stops, for example batteries.")
    lockable: YesNo = described(None, meanings.LOCKABLE)
    poles: Whole | None = described(None, meanings.POLES)
    shows_off_and_on: YesNo = described(None, "Whether the switch shows plainly whether it is off or on.")


class EVSupplyEquipmentModel(EquipmentModel, says="Electric vehicle supply equipment."):
    kind: Literal["ev_supply_equipment"] = described(..., meanings.KIND)
    current: Current = described(None, "Rated charging current, in amperes, from the nameplate.")
    setting: Current = described(
        None,
        "Charging current to which it is set inside its cover, in amperes; less than the nameplate only where it cannot be "
        "raised by the user.",
    )
    exports: YesNo = described(None, "Whether the vehicle can feed the house or the utility through it.")
    output: Current = described(None, "Output current while the vehicle feeds back, in amperes, from the nameplate.")
    ac_voltage: Voltage = described(None, meanings.AC_VOLTAGE)
    shed: Shed = described("none", meanings.SHED)


class ApplianceModel(EquipmentModel, says="An appliance with a circuit of its own."):
    kind: Literal["appliance"] = described(..., meanings.KIND)
    current: Current = described(None, meanings.LOAD_CURRENT)
    power: Power = described(None, meanings.LOAD_POWER)
    minimum_circuit_ampacity: Current = described(
        None, "Minimum circuit ampacity (MCA), in amperes, from the nameplate of air conditioning or heat pump."
    )
    largest_device: Current = described(None, "Maximum overcurrent protection (MOP), in amperes, from the nameplate.")
    continuous: YesNo = described(None, meanings.CONTINUOUS)
    category: Text = described("", meanings.CATEGORY)
    shed: Shed = described("none", meanings.SHED)


class EnergyMonitorModel(EquipmentModel, says="Energy monitor."):
    kind: Literal["energy_monitor"] = described(..., meanings.KIND)


class GroundingElectrodeSystemModel(
    EquipmentModel,
    says="Electrodes and their conductor. Where it lands at several service disconnects, ``conductor`` is the common one and ``to_each`` "
    "the tap to each of them; ``to_each`` alone are conductors of their own from the electrodes.",
):
    kind: Literal["grounding_electrode_system"] = described(..., meanings.KIND)
    electrodes: Words = described(
        (), "Electrodes that are bonded together here, for example concrete-encased, ground rod, water pipe or ground ring."
    )
    conductor: Size | None = described(None, "Size of the grounding electrode conductor, from its marking or a wire gauge.")
    conductor_material: Annotated[str, one_of("copper", "aluminum"), choice_schema("copper", "aluminum")] = described(
        "copper", "Metal of the grounding electrode conductor, copper or aluminum."
    )
    lands_at: Words = described(
        (), "Tags of the enclosures in which the grounding electrode conductor, or its taps, land on the neutral or ground bus."
    )
    to_each: dict[str, Size] = described(
        dict, "Size of the tap or conductor to each enclosure of several, by its tag, from its marking or a wire gauge."
    )
    second_rod: YesNo = described(None, "Whether a second ground rod is driven and bonded to the first.")
    bonding_jumper: Size | None = described(None, "Size of the main bonding jumper at the service, where it is a wire.")
    bonding_jumper_material: Annotated[str, one_of("copper", "aluminum"), choice_schema("copper", "aluminum")] = described(
        "copper", meanings.JUMPER_MATERIAL
    )
    factory_bonding_jumper: YesNo = described(
        None, "Whether the main bonding jumper is the screw or strap that came with the listed service equipment."
    )
    in_raceway: YesNo = described(
        None, "Whether the grounding electrode conductor runs in a metal raceway, which is then bonded at both ends."
    )
    rod_resistance: Resistance = described(
        None, "Resistance to earth of a single ground rod, in ohms, from a three-point or clamp-on measurement."
    )
    rod_spacing: Length = described(None, "Distance between the ground rods, in feet, by tape.")
    intersystem_terminals: Count = described(None, "How many terminals for communication grounds the intersystem bonding termination has.")
    water_piping_bonded: YesNo = described(None, "Whether the metal water piping in the house is bonded to the electrode system.")
    gas_piping_bonded: YesNo = described(None, "Whether the metal gas piping is bonded, by its appliance circuit's ground or a jumper.")
    conductor_above_earth: SmallLength = described(
        None, "Height above the earth at which an aluminum electrode conductor ends, in inches, by tape."
    )
    water_piping: Annotated[str, one_of("metal", "plastic"), choice_schema("metal", "plastic")] = described(
        "", "What the water piping in the house is made of: metal or plastic."
    )
    water_bonding_conductor: Size | None = described(None, "Size of the conductor that bonds the metal water piping, from its marking.")


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
