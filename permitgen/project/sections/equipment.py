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
    Seconds,
    Section,
    Text,
    There,
    TransformerRating,
    Voltage,
    Whole,
    Words,
    YesNo,
    choice_schema,
    described,
    one_of,
)
from permitgen.project.plausible_fields import Rating
from permitgen.project.sections import meanings
from permitgen.project.sections.directory import MEANING, Directory
from permitgen.project.sections.grounding import GroundingElectrodeSystemModel
from permitgen.project.sections.hardware import DeviceModel, Door, IslandBond
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
from permitgen.project.sections.utilization import ApplianceModel, EnergyMonitorModel, EVSupplyEquipmentModel

SupplyEnd = Annotated[str, one_of("top", "bottom", "center"), choice_schema("top", "bottom", "center")]


REPLACEMENT_EVIDENCE = ("listed for the enclosure", "identified for the enclosure", "field evaluated", "none")


class PanelboardModel(
    OnThePathModel,
    says="A panelboard. ``poles_in_use`` counts the poles of breakers that the file does not show as circuits. ``spaces_used`` and "
    "``all_breakers_but_main`` are totals as built, the breakers of this file among them; a breaker of two poles counts once in the sum.",
):
    none_means: ClassVar[dict[str, tuple[str, str]]] = {"main": ("main_lugs_only", "yes")}
    kind: Literal["panelboard"] = described(..., meanings.KIND)
    busbar: Rating = described(None, meanings.BUSBAR)
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
    feed_through_lugs: There = described(
        None, "Whether the panel has feed-through lugs at the far end of its busbar that feed another panel."
    )
    interlocked_breaker: Whole | None = described(
        None, "Number of the space of a back-fed breaker that a listed interlock keeps open while the main is closed."
    )
    interlock_listed_for_panel: YesNo = described(
        None, "Whether the interlock of its breakers is listed for this very panelboard, from the plate and the panel's label."
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
    separate_compartments: YesNo = described(
        None, "Whether each of several mains stands in a compartment of its own, parted from the others, as its label or data sheet says."
    )


WITH_UTILITY = ("disconnected", "listed to stay", "stays connected")


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
    with_utility: Annotated[str, one_of(*WITH_UTILITY), choice_schema(*WITH_UTILITY)] = described(
        "", "What it does while the utility is there, from the instructions: disconnected, listed to stay, or stays connected."
    )
    shares_breaker_with: Text = described(
        "", "Tag of what its breaker shares a body with (a quad breaker), left out where it stands alone."
    )


class DCCombinerModel(EquipmentModel, says="A dc busbar on which batteries and inverters meet; their fuses stand on its spaces."):
    kind: Literal["dc_combiner"] = described(..., meanings.KIND)
    busbar: Rating = described(None, meanings.BUSBAR)
    voltage: Voltage = described(None, "Highest dc voltage that the combiner is rated for, in volts, from its nameplate.")
    spaces: Whole | None = described(None, "How many positions for fuses or breakers the combiner has, counted or from its data sheet.")
    door: Door = described("", meanings.DOOR)
    directory: Directory = described(list, MEANING)


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
    busbar: Rating = described(None, meanings.BUSBAR)
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
    rating: Rating = described(None, meanings.SWITCH_RATING)
    device: DeviceModel | None = described(None, meanings.SWITCH_DEVICE)
    directory: Directory = described(list, MEANING)
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
    dc_rated: YesNo = described(None, "Whether the switch is rated for direct current, from its nameplate.")
    shows_off_and_on: YesNo = described(None, "Whether the switch shows plainly whether it is off or on.")
    door: Door = described("", meanings.DOOR)
    overcurrent_adjacent: YesNo = described(None, "Whether the overcurrent device of an unfused switch stands immediately beside it.")


class TransferSwitchModel(OnThePathModel, says="A transfer switch."):
    kind: Literal["transfer_switch"] = described(..., meanings.KIND)
    rating: Rating = described(None, meanings.SWITCH_RATING)
    device: DeviceModel | None = described(None, meanings.SWITCH_DEVICE)
    directory: Directory = described(list, MEANING)
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
    interlocked_disconnect: There = described(None, "Whether a switch at the inlet keeps the plug from being drawn under load.")


class RapidShutdownInitiatorModel(EquipmentModel, says="The rapid shutdown switch."):
    kind: Literal["rapid_shutdown_initiator"] = described(..., meanings.KIND)
    shuts_down: Words = described((), "Tags of the arrays whose rapid shutdown this switch starts.")
    also_stops: Words = described((), "Tags of the other sources that this switch stops, for example batteries.")
    lockable: YesNo = described(None, meanings.LOCKABLE)
    poles: Whole | None = described(None, meanings.POLES)
    shows_off_and_on: YesNo = described(None, "Whether the switch shows plainly whether it is off or on.")


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
