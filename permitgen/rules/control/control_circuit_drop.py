"""The voltage that a control loop loses on its way leaves enough for the device."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.voltage_drop import loop_resistance_ohm, loop_voltage_drop_v, voltage_drop_percent, voltage_left_v
from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, require_at_least, require_at_most
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.values.value import Value


@rule(
    "control-voltage-drop",
    title="The voltage that a control loop loses on its way leaves enough for the device",
    provision="control_voltage_drop",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge the drop of a control loop at its current, out and back; short tails are left out.

    Requires: what is left ≥ the voltage the device needs; where that is not stated at most 15 percent is lost, a caution.
    Why: a coil that does not pull in, or a relay that drops out in the cold, is found on the day it is needed.
    Applies to: control circuits that carry a current; communication has its own limits.
    Example that fails: 18 AWG over 300 ft with 0.5 A at 12 V, 19.9 percent.
    Example that passes: 14 AWG over 150 ft with 0.5 A at 12 V, 3.9 percent.
    """
    if control.purpose == "communication":
        return does_not_apply(f"{control.tag} carries signals")
    drop = _drop(control, given)
    volts = given.need(control.volts, f"voltage of {control.tag}").named("E")
    if control.smallest_v is not None:
        left = voltage_left_v.derive(volts_v=volts, drop_v=drop)
        message = f"{control.tag}: {left.number:.3g} V left at {control.device}, which needs {control.smallest_v.figure} V"
        return require_at_least(message, computed=left, limit=control.smallest_v)
    percent = voltage_drop_percent.derive(drop_v=drop, nominal_v=volts)
    limit = given.provision("control_voltage_drop").value("largest_percent")
    message = f"{control.tag}: {percent.number:.2g} percent of {volts.figure} V lost, {limit.figure} percent advised"
    return require_at_most(message, computed=percent, limit=limit, otherwise=Verdict.CAUTION)


def _drop(control: ControlCircuit, given: Given) -> Value:
    size = given.need(control.size, f"conductor size of {control.tag}")
    resistance = given.table("conductor_properties").at(("stranded", size), "copper_uncoated_resistance").named("R")
    loop = loop_resistance_ohm.derive(
        length_ft=given.need(control.length_ft, f"length of {control.tag}"), resistance_ohm_per_kft=resistance
    )
    return loop_voltage_drop_v.derive(current_a=given.need(control.current_a, f"current of {control.tag}").named("I"), resistance_ohm=loop)
