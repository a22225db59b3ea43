"""Modules, arrays, inverters, storage units and generators as a project file describes them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, ClassVar, Literal

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
    Section,
    SmallLength,
    Text,
    There,
    Voltage,
    VoltageOrZero,
    Weight,
    Whole,
    Words,
    YesNo,
    choice_schema,
    described,
    one_of,
)
from permitgen.project.plausible_fields import ModuleCurrent, ModulePower, ModuleVoltage
from permitgen.project.sections import meanings
from permitgen.project.sections.directory import MEANING, Directory
from permitgen.project.sections.hardware import DeviceModel, IslandBond
from permitgen.project.sections.hardware_notes import HardwareNotes
from permitgen.project.sections.placed_equipment import EquipmentModel
from permitgen.project.word_fields import Chemistry, Functions, Listings


class ModuleModel(HardwareNotes, says="A PV module."):
    kind: Literal["module"] = described("module", meanings.KIND)
    name: Text = described("", meanings.NAME)
    power: ModulePower = described(None, "Rated power of one module at standard test conditions (Pmax), in watts, from its label.")
    voc: ModuleVoltage = described(None, "Open-circuit voltage of one module at standard test conditions (Voc), in volts, from its label.")
    bifacial: YesNo = described(None, "Whether the module gives current from its rear side too, from its label or data sheet.")
    highest_isc: ModuleCurrent = described(
        None, "Highest short-circuit current that label or instructions give, in amperes, with the gain of the rear side of the module."
    )
    isc: ModuleCurrent = described(
        None, "Short-circuit current of one module at standard test conditions (Isc), in amperes, from its label."
    )
    vmp: ModuleVoltage = described(None, "Voltage of one module at its rated power (Vmp), in volts, from its label.")
    imp: ModuleCurrent = described(None, "Current of one module at its rated power (Imp), in amperes, from its label.")
    voc_coefficient: Coefficient = described(
        None, "Change of the open-circuit voltage with temperature, negative, in percent or volts per degree, from the data sheet."
    )
    largest_series_fuse: Current = described(None, "Maximum series fuse rating, in amperes, from the module's label.")
    system_voltage: Voltage = described(None, "Maximum system voltage that the module is listed for, in volts, from its label.")
    crystalline_silicon: YesNo = described(
        None, "Whether the cells are of crystalline silicon, for which the code has a table of cold-weather factors."
    )
    length: SmallLength = described(None, "Long side of the module's frame, in inches, from the data sheet.")
    width: SmallLength = described(None, "Short side of the module's frame, in inches, from the data sheet.")
    weight: Weight = described(None, "Weight of one module, in pounds, from the data sheet.")


class ModuleInverterModel(HardwareNotes, says="A microinverter, or the inverter of an ac module."):
    kind: Literal["module_inverter"] = described("module_inverter", meanings.KIND)
    name: Text = described("", meanings.NAME)
    output: Current = described(None, "Continuous output current of one unit, in amperes, from its label.")
    output_power: Power = described(None, "Continuous output power of one unit, in watts or volt-amperes, from its label.")
    ac_voltage: Voltage = described(None, meanings.AC_VOLTAGE)
    largest_dc_input: Voltage = described(None, meanings.LARGEST_DC_INPUT)
    largest_branch_device: Current = described(
        None, "Largest overcurrent device permitted on a branch of these units, in amperes, from the data sheet."
    )
    largest_units_per_branch: Count = described(None, "Most units that the instructions permit on one branch circuit.")
    fault_current: FaultCurrent = described(None, meanings.FAULT_CURRENT)
    ac_module: YesNo = described(
        None, "Whether module and inverter are listed together as one ac module, whose dc wiring is part of the listing."
    )
    interactive_listed: YesNo = described(None, meanings.INTERACTIVE_LISTED)
    arc_fault_protection: There = described(None, meanings.ARC_FAULT)
    ground_fault_protection: There = described(None, meanings.GROUND_FAULT)
    frequency_trip: Frequency = described(None, meanings.FREQUENCY_TRIP)
    frequency_droop: Percent = described(None, meanings.FREQUENCY_DROOP)


class ConverterModel(HardwareNotes, says="A dc-to-dc converter at a module."):
    kind: Literal["converter"] = described("converter", meanings.KIND)
    name: Text = described("", meanings.NAME)
    output_voltage: Voltage = described(None, "Highest output voltage of one converter, in volts, from its data sheet.")
    output: Current = described(None, "Highest continuous output current of one converter, in amperes, from its data sheet.")
    largest_input: Voltage = described(None, "Highest module voltage that the converter's input withstands, in volts, from its data sheet.")
    shutdown_voltage: Voltage = described(
        None, "Voltage that one converter leaves on the string after rapid shutdown, in volts, from its data sheet."
    )
    string_voltage: Voltage = described(
        None, "Highest voltage of a string of these converters, in volts, from the instructions of converter or inverter."
    )
    arc_fault_protection: There = described(None, meanings.ARC_FAULT)


FIRE_CLASSES = ("A", "B", "C", "none")


class PVArrayModel(EquipmentModel, says="An array; ``module``, ``module_inverter`` and ``converter`` name catalog entries."):
    kind: Literal["pv_array"] = described(..., meanings.KIND)
    module: Text = described("", "Name of the catalog entry of the module of which the array consists.")
    module_inverter: Text = described("", "Name of the catalog entry of the microinverter at each module, for an array with ac branches.")
    converter: Text = described("", "Name of the catalog entry of the dc-to-dc converter at each module, for an array with strings.")
    branches: dict[str, Count] = described(dict, "How many microinverters each ac branch circuit has, by the branch's name.")
    strings: dict[str, Count] = described(dict, "How many modules in series each dc string has, by the string's name.")
    module_order: Words = described(
        (), "Names of branches or strings in the order in which they take modules, from the eave up, left to right, by the racking layout."
    )
    modules: Count = described(None, "How many modules the array has in all; the reader compares it with branches or strings.")
    on_building: Text = described("", "Name of the building that carries the array, as on the plan; none for an array on the ground.")
    fire_class: Annotated[str, one_of(*FIRE_CLASSES), choice_schema(*FIRE_CLASSES)] = described(
        "", "Fire class of the array with its racking as tested together, from the racking's listing: A, B, C or none."
    )
    electrode_at_structure: There = described(None, "Whether the array has an electrode of its own at a structure apart from the house.")
    modules_per_shutdown_unit: Count = described(None, "How many modules in series stay connected behind each rapid shutdown unit.")
    hazard_control_listed: YesNo = described(
        None, "Whether the array is a listed PV hazard control system (UL 3741), from the listing report."
    )
    shutdown_voltage: VoltageOrZero = described(
        None, "Voltage that one module's shutdown device leaves after rapid shutdown, in volts, from its data sheet; 0 V is an answer."
    )
    rapid_shutdown_listed: YesNo = described(
        None, "Whether the devices that carry out rapid shutdown are listed for it, from their listing mark."
    )
    bonded_by_listed_parts: YesNo = described(
        None, "Whether clamps and racking that ground the module frames are listed for bonding (UL 2703)."
    )
    no_exposed_parts: YesNo = described(
        None, "Whether no wiring method or conductive part of the array is exposed near grounded metal (rapid shutdown until 2020)."
    )
    pv_equipment_building: YesNo = described(
        None, "Whether the building that the conductors of a ground-mounted array enter serves nothing but PV equipment."
    )
    unenclosed_structure: YesNo = described(
        None,
        "Whether the array is on an open structure that stands by itself, such as a carport or trellis that firefighters do not enter.",
    )
    bipolar: YesNo = described(None, "Whether the array is wired as two monopole halves with a common reference.")
    roof_planes: Words = described((), "Names of the roof planes on which the array lies, as on the plan.")
    attachments: Count = described(None, "How many attachments carry the racking, from the racking layout.")
    attachment_spacing: SmallLength = described(None, "Spacing of the attachments along a rail, in inches, from the racking layout.")
    racking_weight: Weight = described(
        None, "Weight of rails, clamps and attachments together, in pounds, from the racking's bill of material."
    )
    fastener: Text = described("", "Fastener that goes into the framing, with diameter and material, as the racking's report names it.")
    fastener_embedment: SmallLength = described(None, "Depth of the fastener's thread in the wood, in inches, from the racking's report.")
    flashing: Text = described("", "How each attachment is made watertight, for the detail on the structural sheet.")
    framing: Text = described("", "Rafters or trusses with size and spacing, as seen in the attic, for the structural sheet.")


DC_ISOLATION = ("connectors", "fuse holder", "tool", "listed", "none")
DC_GROUNDING = ("functionally grounded", "ungrounded", "bipolar", "solidly grounded")


PORT_KINDS = ("utility", "load", "generator", "photovoltaic", "battery")
WHEN_LOST = ("stops", "islands", "only behind a relay")


class PortModel(Section, says="A port of an inverter, in the words of its data sheet."):
    kind: Annotated[str, one_of(*PORT_KINDS), choice_schema(*PORT_KINDS)] = described(
        ..., "What the port is made for, in the words of the data sheet: utility, load, generator, photovoltaic or battery."
    )
    max_output: Current = described(None, "Largest continuous current that comes out of the port, in amperes, from the data sheet.")
    max_input: Current = described(None, "Largest continuous current that the port takes in, in amperes, from the data sheet.")
    max_short_circuit: Current = described(
        None, "Largest short-circuit current of what is connected to the port, in amperes, from the data sheet."
    )
    max_voltage: Voltage = described(None, "Highest voltage that the port withstands, in volts, from the data sheet.")
    min_voltage: Voltage = described(None, "Lowest voltage at which the port works, in volts, from the data sheet.")
    max_device: Current = described(None, "Largest overcurrent device ahead of the port, in amperes, from the data sheet.")
    utility_lost: Annotated[str, one_of(*WHEN_LOST), choice_schema(*WHEN_LOST)] = described(
        "", "What the port does when the utility is lost: stops, islands, or only behind a relay outside."
    )


class TransferRelayModel(Section, says="The relay inside an inverter between its utility port and its load port."):
    carries: Current = described(None, "Continuous current that the relay carries, in amperes, from the data sheet (pass-through current).")
    withstand: KiloAmperes = described(None, "Short-circuit current that the relay withstands, in kiloamperes, from the data sheet.")
    poles: Whole | None = described(None, meanings.POLES)
    switches_neutral: YesNo = described(None, meanings.SWITCHES_NEUTRAL)
    listed_as: Listings = described(
        (), "What the listing of the relay covers, for example microgrid interconnect device or transfer switch."
    )


class InverterModel(EquipmentModel, says="A string, hybrid or battery inverter."):
    asked_for: ClassVar[Mapping[str, str]] = MappingProxyType(
        {"functions": "interactive, multimode, or both", "energy": "photovoltaic or energy storage"}
    )

    kind: Literal["inverter"] = described(..., meanings.KIND)
    ports: dict[str, PortModel] = described(
        dict, "Ports by name with their limits, for an inverter with more connections than one ac output."
    )
    transfer_relay: TransferRelayModel | None = described(None, "Relay inside the inverter that parts its load port from the utility.")
    island_bond: IslandBond | None = described(None, meanings.ISLAND_BOND)
    output: Current = described(None, meanings.OUTPUT)
    output_power: Power = described(None, meanings.OUTPUT_POWER)
    ac_voltage: Voltage = described(None, meanings.AC_VOLTAGE)
    power_control_limit: Current = described(None, meanings.POWER_CONTROL_LIMIT)
    functions: Functions = described((), meanings.FUNCTIONS)
    energy: Annotated[str, one_of("photovoltaic", "energy storage"), choice_schema("photovoltaic", "energy storage")] = described(
        "", "What the inverter converts: photovoltaic or energy storage power."
    )
    largest_dc_input: Voltage = described(None, meanings.LARGEST_DC_INPUT)
    largest_input_current: Current = described(None, "Largest dc input current of one tracker, in amperes, from the data sheet.")
    largest_short_circuit_current: Current = described(
        None, "Largest short-circuit current that may be connected to one dc input, in amperes, from the data sheet."
    )
    lowest_dc_input: Voltage = described(None, "Lowest dc voltage at which the inverter works, in volts, from the data sheet.")
    efficiency: Percent = described(
        None, "Efficiency at rated output, in percent, from the data sheet; the battery's current is computed with it."
    )
    largest_device: Current = described(None, meanings.LARGEST_DEVICE)
    fault_current: FaultCurrent = described(None, meanings.FAULT_CURRENT)
    arc_fault_protection: There = described(None, meanings.ARC_FAULT)
    ground_fault_protection: There = described(None, meanings.GROUND_FAULT)
    dc_backfeed: CurrentOrZero = described(
        None, "Current that the inverter can feed back into its dc inputs, in amperes, from the data sheet; 0 A is an answer."
    )
    dc_isolation: Annotated[str, one_of(*DC_ISOLATION), choice_schema(*DC_ISOLATION)] = described(
        "",
        "What parts each string of up to 30 A from the inverter where no switch does: connectors, fuse holder (finger safe), tool (a "
        "device that opens by tool), listed (for this use), or none.",
    )
    dc_disconnect: There = described(None, "Whether a dc switch is built into the inverter, from the data sheet.")
    dc_grounding: Annotated[str, one_of(*DC_GROUNDING), choice_schema(*DC_GROUNDING)] = described(
        "", "How the PV array is grounded by this inverter: functionally grounded, ungrounded, bipolar or solidly grounded."
    )
    interactive_listed: YesNo = described(None, meanings.INTERACTIVE_LISTED)
    forms_neutral: YesNo = described(None, meanings.FORMS_NEUTRAL)
    frequency_trip: Frequency = described(None, meanings.FREQUENCY_TRIP)
    frequency_droop: Percent = described(None, meanings.FREQUENCY_DROOP)


class EnergyStorageSystemModel(
    EquipmentModel,
    says="A storage unit, or as many equal ``units`` (cabinets) as stand behind one output: ``unit_energy`` is that of one, all other "
    "ratings are those of the units together.",
):
    asked_for: ClassVar[Mapping[str, str]] = MappingProxyType({"coupling": "ac or dc", "functions": "interactive, multimode, or both"})
    figures_of_things: ClassVar[frozenset[str]] = frozenset({"listed_spacing"})

    kind: Literal["energy_storage_system"] = described(..., meanings.KIND)
    output: Current = described(None, meanings.OUTPUT)
    ac_voltage: Voltage = described(None, meanings.AC_VOLTAGE)
    charge_current: Current = described(None, "Largest current that it draws while charging, in amperes, from the nameplate.")
    power_control_limit: Current = described(None, meanings.POWER_CONTROL_LIMIT)
    energy: Energy = described(
        None, "Rated energy, in kilowatt-hours, from the nameplate; of several units behind one output that of all together."
    )
    units: Count = described(None, "How many equal cabinets stand behind this one output, counted on the wall.")
    unit_energy: Energy = described(None, "Rated energy of one of several equal units, in kilowatt-hours, from its nameplate.")
    chemistry: Chemistry = described("", "Chemistry of the cells, for example lithium iron phosphate, from the nameplate.")
    coupling: Annotated[str, one_of("ac", "dc"), choice_schema("ac", "dc")] = described(
        "", "Whether its terminals are ac (an inverter is inside) or dc."
    )
    functions: Functions = described((), meanings.FUNCTIONS)
    nominal_voltage: Voltage = described(None, "Nominal dc voltage of the battery, in volts, from the nameplate.")
    disconnect: There = described(None, meanings.DISCONNECT)
    largest_device: Current = described(None, meanings.LARGEST_DEVICE)
    fault_current: FaultCurrent = described(None, meanings.FAULT_CURRENT)
    listed_system: YesNo = described(None, "Whether it is listed as an energy storage system (UL 9540), from the listing mark.")
    listed_spacing: SmallLength = described(
        None, "Spacing between units that its fire test permits (UL 9540A), in inches, from the instructions; none where they give none."
    )
    charges_from_generator: YesNo = described(
        None, "Whether it may charge while the generator feeds the house, so that charging counts on the generator."
    )
    charges_from_utility: YesNo = described(None, "Whether it may charge from the utility, so that charging counts as a load.")
    interactive_listed: YesNo = described(None, meanings.INTERACTIVE_LISTED)
    forms_neutral: YesNo = described(None, meanings.FORMS_NEUTRAL)
    maximum_voltage: Voltage = described(None, "Highest dc voltage between its conductors or to ground, in volts, from the nameplate.")
    live_parts_accessible: YesNo = described(None, "Whether a person can touch live parts during routine maintenance without a tool.")
    emergency_shutdown: There = described(None, "Whether it has an emergency shutdown switch of its own that is reached outside the house.")
    current_limiting_inside: YesNo = described(
        None, "Whether its dc outputs have current-limiting overcurrent devices inside, as part of the listed unit, from the data sheet."
    )
    charge_control: There = described(None, "Whether charging is controlled by equipment that is part of the unit or listed with it.")


class GeneratorModel(EquipmentModel, says="A generator."):
    kind: Literal["generator"] = described(..., meanings.KIND)
    output: Current = described(None, "Nameplate current of the generator, in amperes, at its rated voltage.")
    output_power: Power = described(None, "Nameplate power of the generator on its fuel here, in kilowatts or kilovolt-amperes.")
    ac_voltage: Voltage = described(None, meanings.AC_VOLTAGE)
    breaker: DeviceModel | None = described(
        None, "Output breaker on the machine, read off its handle; none where the machine has no overcurrent device."
    )
    directory: Directory = described(list, MEANING)
    subtransient_reactance: Percent = described(
        None, "Subtransient reactance of the alternator, in percent, from the alternator's data sheet."
    )
    outside_stop: There = described(None, "Whether a switch that stops the engine is reached from outside the housing.")
    disconnect: There = described(None, "Whether a disconnect for the output conductors is on the machine.")
    portable: YesNo = described(False, "Whether the machine is portable and connected by cord and plug.")
    overload_protected: YesNo = described(None, "Whether the machine's design or its breaker keeps it from overload, from the data sheet.")
    stop_needs_reset: YesNo = described(None, "Whether the engine stays stopped after the stop switch until somebody resets it by hand.")
    disconnect_lockable: YesNo = described(None, "Whether the disconnect on the machine can be locked open with a padlock.")
    disconnect_inside_housing: YesNo = described(None, "Whether the disconnect is reached only by opening the housing with a tool or key.")
    bond_changed: YesNo = described(
        None, "Whether somebody changed the machine's neutral bond from the state that its nameplate or factory label tells."
    )
    in_parallel_listed: YesNo = described(None, "Whether the machine is listed to run beside other sources on one busbar.")
    receptacles_protected: YesNo = described(
        None, "Whether the machine's 125 V and 250 V receptacles have ground-fault protection for persons."
    )
