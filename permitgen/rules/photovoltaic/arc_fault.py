"""PV dc circuits of 80 V and more have listed arc-fault protection."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.array_buildings import touches_building
from permitgen.rules.quantities.pv_voltage import cold_module_voltage, string_maximum_voltage
from permitgen.rules.rule import rule
from permitgen.rules.subjects import ArrayCircuit
from permitgen.system.walks.dc_circuits import dc_circuits, inverters_fed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.raceway import Raceway


@rule(
    "dc-arc-fault",
    title="PV dc circuits of 80 V and more have listed arc-fault protection",
    provision="dc_arc_fault",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the protection of the array's dc circuits by their maximum voltage.

    Requires: listed PV dc arc-fault protection where the maximum dc voltage is 80 V or more.
    Why: a dc arc does not go out by itself; it burns until the roof does.
    Applies to: dc circuits, taken at their maximum voltage in the cold; off buildings not to those in metal raceways, metal-clad cable or
        direct-buried cable.
    Example that fails: strings of 480 V on an inverter without arc-fault protection.
    Example that passes: a microinverter at each module: 56 V.
    """
    if not given.need(touches_building(given, array), f"whether {array.tag} is on a building") and not _in_the_open(array, given):
        return does_not_apply(f"{array.tag} and its circuits touch no building and lie in metal or in the ground")
    limit = given.provision("dc_arc_fault").value("from_v").named("V_80", "voltage from which arc-fault protection is due")
    if array.strings:
        strings = [ArrayCircuit(f"{array.tag}.{name}", array, name, count) for name, count in array.strings.items()]
        return all_of(
            f"{array.tag}: its dc circuits have arc-fault protection", parts_for(strings, lambda string: _string(string, given, limit))
        )
    if array.module_inverter is not None and array.module_inverter.is_ac_module:
        return does_not_apply(f"{array.tag}: its dc part belongs to the listed ac modules")
    voltage = cold_module_voltage(given, array)
    unit = given.need(array.module_inverter, f"inverter of {array.tag}")
    return _judge(array.tag, voltage, limit, unit.has_arc_fault_protection, f"arc-fault protection of {unit.name}")


def _in_the_open(array: PVArray, given: Given) -> list[str]:
    """Return the runs of the strings that are neither metal raceway, metal-clad cable nor direct-buried cable."""
    system = given.system
    tags = {run for name in array.strings for circuit in dc_circuits(system, f"{array.tag}.{name}") for run in circuit.runs}
    return [tag for tag in sorted(tags) if not _is_of_the_exception(system.raceways[tag])]


def _is_of_the_exception(run: Raceway) -> bool:
    return run.is_metal or run.kind == "MC cable" or (run.is_cable and bool(run.underground))


def _string(string: ArrayCircuit, given: Given, limit: Value) -> Judgement:
    inverters = inverters_fed(given.system, f"{string.array.tag}.{string.name}")
    converter = string.array.converter
    protected = [inverter.has_arc_fault_protection for inverter in inverters] + ([converter.has_arc_fault_protection] if converter else [])
    answer = True if any(protected) else None if None in protected or not protected else False
    names = ", ".join([inverter.tag for inverter in inverters] + ([converter.name] if converter else [])) or f"inverter of {string.tag}"
    return _judge(string.tag, string_maximum_voltage(given, string), limit, answer, f"arc-fault protection of {names}")


def _judge(tag: str, voltage: Value, limit: Value, protected: bool | None, missing: str) -> Judgement:  # noqa: FBT001 - three-valued fact
    if voltage.number < limit.number * (1 - 1e-9):
        return does_not_apply(f"{tag}: {voltage.number:.4g} V, below {limit.figure} V")
    has = "listed arc-fault protection" if protected else "no arc-fault protection"
    return require(protected, f"{tag}: {voltage.number:.4g} V, {limit.figure} V or more, {has}", missing=missing, values=(voltage, limit))
