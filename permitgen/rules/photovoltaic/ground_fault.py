"""PV dc circuits have ground-fault protection."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.pv_current import array_current
from permitgen.rules.quantities.pv_voltage import cold_module_voltage, string_maximum_voltage
from permitgen.rules.rule import rule
from permitgen.rules.subjects import ArrayCircuit
from permitgen.system.walks.dc_circuits import inverters_fed, strings_joined

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.values.value import Value


@rule(
    "pv-ground-fault-protection",
    title="PV dc circuits have ground-fault protection",
    provision="pv_ground_fault_protection",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the ground-fault protection of the array's dc circuits.

    Requires: a device that detects a ground fault, indicates it and interrupts or isolates; by edition only above 30 V or 8 A.
    Why: a grounded conductor that touches metal carries fault current through the frames until something burns.
    Applies to: dc circuits; the dc part of an ac module belongs to the module.
    Example that fails: strings on an inverter without ground-fault protection.
    Example that passes: the same on an inverter that has it.
    """
    if array.strings:
        strings = [ArrayCircuit(f"{array.tag}.{name}", array, name, count) for name, count in array.strings.items()]
        return all_of(
            f"{array.tag}: its dc circuits have ground-fault protection", parts_for(strings, lambda string: _string(string, given))
        )
    unit = given.need(array.module_inverter, f"inverter of {array.tag}")
    if unit.is_ac_module:
        return does_not_apply(f"{array.tag}: its dc part belongs to the listed ac modules")
    if not _is_due(given, cold_module_voltage(given, array), given.need(array.module, f"module of {array.tag}").counted_isc_a):
        return does_not_apply(f"{array.tag}: its module circuits stay below the voltage and the current from which protection is due")
    return _require(array.tag, unit.has_ground_fault_protection, unit.name)


def _string(string: ArrayCircuit, given: Given) -> Judgement:
    node = f"{string.array.tag}.{string.name}"
    current, _ = array_current(given, string.tag, [s for s in strings_joined(given.system, node) if s.node == node])
    if not _is_due(given, string_maximum_voltage(given, string), current):
        return does_not_apply(f"{string.tag} stays below the voltage and the current from which protection is due")
    inverters = inverters_fed(given.system, node)
    answers = [inverter.has_ground_fault_protection for inverter in inverters]
    answer = None if None in answers or not answers else all(answers)
    return _require(string.tag, answer, ", ".join(inverter.tag for inverter in inverters) or f"the inverter of {string.tag}")


def _is_due(given: Given, voltage: Value, current: Value | None) -> bool:
    provision = given.provision("pv_ground_fault_protection")
    if not provision.has("above_v"):
        return True
    above_current = current is not None and current.number > provision.value("above_a").number
    return voltage.number > provision.value("above_v").number or above_current


def _require(tag: str, protected: bool | None, what: str) -> Judgement:  # noqa: FBT001 - three-valued fact
    has = "has" if protected else "has no"
    return require(protected, f"{tag}: {what} {has} ground-fault protection", missing=f"ground-fault protection of {what}")
