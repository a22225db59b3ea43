"""What uses energy: loads of a panel, appliances, vehicle supply equipment, energy monitors."""

from __future__ import annotations

from typing import Annotated, Literal

from permitgen.project.fields import Current, Length, Power, Section, Text, There, Voltage, YesNo, choice_schema, described, one_of
from permitgen.project.sections import meanings
from permitgen.project.sections.hardware import DisconnectedBy
from permitgen.project.sections.placed_equipment import EquipmentModel
from permitgen.project.word_fields import Category

Shed = Annotated[str, one_of("none", "island", "always"), choice_schema("none", "island", "always")]
CONNECTIONS = ("hard-wired", "cord and plug")


class EVSupplyEquipmentModel(EquipmentModel, says="Electric vehicle supply equipment."):
    kind: Literal["ev_supply_equipment"] = described(..., meanings.KIND)
    current: Current = described(None, "Rated charging current, in amperes, from the nameplate.")
    setting: Current = described(
        None,
        "Charging current to which it is set inside its cover, in amperes; less than the nameplate only where it cannot be "
        "raised by the user.",
    )
    setting_restricted: YesNo = described(
        None, "Whether only qualified persons can change the setting, behind a bolted cover, a lock or a password; only then it counts."
    )
    export_listed: YesNo = described(None, "Whether it is listed and marked for feeding a home from the vehicle.")
    connection: Annotated[str, one_of(*CONNECTIONS), choice_schema(*CONNECTIONS)] = described(
        "", "Whether the unit is hard-wired or plugged into a receptacle."
    )
    receptacle: Current = described(None, "Rating of the receptacle into which a unit with cord and plug goes, in amperes, from its face.")
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
    category: Category = described("", meanings.CATEGORY)
    disconnected_by: DisconnectedBy = described("", meanings.DISCONNECTED_BY)
    shed: Shed = described("none", meanings.SHED)


VOLTAGE_LEADS = ("own circuit", "fused leads", "listed accessory", "no protection")


class EnergyMonitorModel(EquipmentModel, says="Energy monitor."):
    kind: Literal["energy_monitor"] = described(..., meanings.KIND)
    voltage_leads: Annotated[str, one_of(*VOLTAGE_LEADS), choice_schema(*VOLTAGE_LEADS)] = described(
        "", "How its voltage leads are protected where they leave the power conductors: own circuit, fused leads, listed accessory."
    )


class LoadModel(Section, says="A load of a panel."):
    name: Text = described("", meanings.TAG_NAME)
    panel: Text = described(..., "Tag of the panel that feeds the load.")
    room: Text = described("", "Room in which the load is used, in the owner's words, for the hours of backup in the record.")
    category: Category = described("", meanings.CATEGORY)
    leg: Annotated[str, one_of("L1", "L2", "both"), choice_schema("L1", "L2", "both")] = described(
        "", "Leg of the panel on which the load lies: L1, L2 or both, seen from the breaker's place."
    )
    power: Power = described(None, meanings.LOAD_POWER)
    current: Current = described(None, meanings.LOAD_CURRENT)
    locked_rotor_current: Current = described(
        None, "Locked-rotor current of the motor (LRA), in amperes, from the nameplate; asked of 120 V motors behind a neutral former."
    )
    continuous: YesNo = described(None, meanings.CONTINUOUS)
    simultaneous: YesNo = described(
        True, "Whether it runs together with the others; no for one of two that never do, such as heat and cooling."
    )
    new: YesNo = described(None, "Whether the load is added by this work, for the load calculation of an existing dwelling.")
    moved: YesNo = described(None, meanings.MOVED)
    added_length: Length = described(None, meanings.ADDED_LENGTH)
    new_outlets: YesNo = described(None, meanings.NEW_OUTLETS)
    arc_fault_protection: There = described(None, meanings.BRANCH_ARC_FAULT)
    disconnected_by: DisconnectedBy = described("", meanings.DISCONNECTED_BY)
    life_safety: YesNo = described(
        None, "Whether it supplies an alarm, egress lighting or ventilation against a hazard, which no load management may shed."
    )
    shed: Shed = described("none", meanings.SHED)
