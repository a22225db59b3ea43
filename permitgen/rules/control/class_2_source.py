"""What supplies a control circuit is known, and a Class 2 supply stays within the voltages of its class."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require_at_most
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit


@rule(
    "class-2-source",
    title="What supplies a control circuit is known, and a Class 2 supply stays within the voltages of its class",
    provision="class_2_source",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge the class that the file states for the supply of a control circuit.

    Requires: a stated class; of Class 2 at most 30 V ac or 60 V dc.
    Why: the class decides conductor, protection and separation; the voltage measured does not.
    Applies to: control circuits. A contact in a Class 2 circuit keeps the class; the same contact on 120 V makes it power wiring.
    Example that fails: a 120 V loop called Class 2.
    Example that passes: a 12 V dc loop from a listed Class 2 output.
    """
    if control.source_class is None:
        return not_judged(f"what supplies {control.tag}: a Class 2 output, or a circuit with which overcurrent device")
    if control.source_class != "2":
        return does_not_apply(f"{control.tag} is a Class {control.source_class} circuit")
    volts = given.need(control.volts, f"voltage of {control.tag}")
    provision = given.provision("class_2_source")
    is_dc = "dc" in volts.spelled.casefold()
    limit = provision.value("largest_dry_dc_v" if is_dc else "largest_ac_v")
    return require_at_most(
        f"{control.tag}: {volts.figure} V {'dc' if is_dc else 'ac'} from a Class 2 supply, at most {limit.figure} V",
        computed=volts,
        limit=limit,
    )
