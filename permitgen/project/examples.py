"""An example of an answer by key, where that of its unit would be absurd: no working space is 35 ft deep, no lug is marked -23 °C.

A key that means another thing in another section stands with the name of its section before it. Orders of magnitude: common practice,
no published source; none of these figures is computed with.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

_LISTED = """
access_width: 22 in | access_length: 30 in
clear_depth: 3 ft | clear_width: 30 in | clear_height: 6.5 ft | handle_height: 60 in | bottom_height: 48 in | to_door_or_window: 4 ft
to_next_unit: 3 ft | to_receptacle: 20 ft | along: 6 ft | GroundModel.distance: 3 ft | SpotModel.distance: 7 ft | FeatureModel.width: 12 ft
LayoutModel.distance: 3 ft | above_eave: 3 ft | below_ridge: 3 ft | gap: 1/2 in | row_gap: 1/2 in | rows: 2 | columns: 5
eave_overhang: 18 in | rake_overhang: 12 in | diameter: 4 in | BollardModel.height: 3 ft | RoomModel.size: 12 ft x 20 ft
RoomModel.distance: 8 ft
small_appliance_circuits: 2 | laundry_circuits: 1 | conductors: 1 | TerminalModel.temperature: 75 °C | largest_device: 60 A
width: 14 in | height: 30 in | EquipmentModel.depth: 5 in | weight: 48 lb | bending_space_top: 8 in | bending_space_bottom: 8 in
bending_space_left: 6 in | bending_space_right: 6 in | transformer_impedance: 1.8 % | x_over_r: 1.5
MeterModel.rating: 200 A | DeviceModel.rating: 60 A | DisconnectModel.rating: 60 A | TransferSwitchModel.rating: 200 A
PowerInletModel.rating: 30 A | TerminalModel.rating: 200 A | highest_setting: 60 A
UtilityServiceModel.available_fault_current: 9.2 kA | devices: 2 | terminal_blocks: 2 | entry_spacing: 12 in
busbar: 200 A | main: 2P 200 A | largest_circuits: 40 | poles_in_use: 12 | spaces_used: 22 | all_breakers_but_main: 285 A
largest_breaker: 125 A | neutral_bus: 200 A | contactor_rating: 200 A | listed_supply: 200 A | listed_sources: 80 A
load_device: 2P 200 A | largest_load_device: 200 A | DisconnectModel.voltage: 240 V | rod_resistance: 22 Ω | rod_spacing: 6 ft
intersystem_terminals: 3 | water_pipe_in_earth: 12 ft | conductor_above_earth: 18 in | water_connection: 3 ft | gas_circuit_device: 20 A
modules: 20 | modules_per_shutdown_unit: 1 | shutdown_voltage: 1 V | attachments: 24 | attachment_spacing: 48 in | racking_weight: 180 lb
fastener_embedment: 2-1/2 in | InverterModel.output: 32 A | output_power: 7600 W | power_control_limit: 32 A
largest_dc_input: 600 V | ModuleInverterModel.largest_dc_input: 60 V | largest_input_current: 15 A | largest_short_circuit_current: 25 A
lowest_dc_input: 60 V | efficiency: 97 % | largest_branch_device: 20 A | largest_units_per_branch: 10 | InverterModel.fault_current: 40 A
EnergyStorageSystemModel.fault_current: 40 A | ModuleInverterModel.fault_current: 3 A | frequency_trip: 61.2 Hz | frequency_droop: 5 %
EnergyStorageSystemModel.output: 24 A | charge_current: 24 A | units: 2 | unit_energy: 5 kWh | listed_spacing: 6 in
nominal_voltage: 400 V | maximum_voltage: 460 V | GeneratorModel.output: 75 A | subtransient_reactance: 15 %
setting: 40 A | receptacle: 50 A | ApplianceModel.current: 20 A | ApplianceModel.power: 4500 W | minimum_circuit_ampacity: 24 A
DCCombinerModel.voltage: 600 V | voc: 40 V | isc: 12 A | highest_isc: 13 A | vmp: 33 V | imp: 11.5 A | largest_series_fuse: 20 A
system_voltage: 1000 V | ModuleModel.length: 68 in | ModuleModel.width: 45 in | ModuleInverterModel.output: 1.6 A
ModuleInverterModel.output_power: 384 VA | ConverterModel.output: 15 A | output_voltage: 60 V | largest_input: 60 V | string_voltage: 480 V
EntryZoneModel.left: 2 in | EntryZoneModel.right: 12 in | EntryZoneModel.back: 1 in | EntryZoneModel.front: 4 in
WiringSpaceModel.width: 4 in | WiringSpaceModel.depth: 4 in | max_output: 32 A | max_input: 50 A | max_short_circuit: 40 A
max_voltage: 600 V | min_voltage: 60 V | max_device: 60 A | carries: 60 A | LoadModel.current: 12 A | locked_rotor_current: 80 A
added_length: 20 ft | neutral_current: 25 A | AutotransformerModel.rating: 5 kVA | peak_current: 50 A
AutotransformerModel.breaker: 2P 30 A
design_high: 34 °C | ClimateModel.ground: 20 °C | peak: 92 A | peak_power: 22 kW | calculated: 128 A | calculated_power: 30 kW
measured: 92 A | measured_power: 22 kW | PowerControlModel.setting: 200 A | from_left: 6 in | from_back: 2 in
interior_width: 4 in | interior_depth: 4 in | ambient: 34 °C | above_roof: 1 in | cover: 18 in | other_current_carrying: 2
support_spacing: 10 ft | first_support: 3 ft | coldest: -20 °C | hottest: 60 °C | listed_ambient: 50 °C | concrete_around: 3 in
outside_jumper: 4 ft | RacewayModel.height: 10 ft | attachment_height: 12 ft | over_roof: 3 ft | to_openings: 3 ft
outside_diameter: 0.4 in | cable_diameter: 0.6 in | insulation_voltage: 600 V | CircuitModel.current: 32 A | tap_length: 8 ft
supply_overcurrent: 5 A | ControlModel.voltage: 24 V | ControlModel.current: 0.5 A | smallest_voltage: 20 V | contact_voltage: 24 V
contact_current: 2 A | FeatureModel.distance: 6 ft | StreetModel.distance: 260 ft
"""

EXAMPLES: Mapping[str, str] = MappingProxyType(
    {key: example for each in _LISTED.replace("\n", "|").split("|") if each.strip() for key, _, example in [each.strip().partition(": ")]}
)


def example_of(sections: Iterable[str], key: str) -> str:
    """Return the example of a key of a section, named with those that it builds on; empty where that of its unit fits."""
    own = (EXAMPLES[f"{section}.{key}"] for section in sections if f"{section}.{key}" in EXAMPLES)
    return next(own, EXAMPLES.get(key, ""))
