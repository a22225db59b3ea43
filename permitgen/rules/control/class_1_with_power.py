"""Class 1 wiring shares a raceway with the power circuits of the equipment it serves, and with no others."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit


@rule(
    "class-1-with-power",
    title="Class 1 wiring shares a raceway with the power circuits of the equipment it serves, and with no others",
    provision="class_1_with_power",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge a Class 1 circuit, or a Class 2 circuit reclassified and wired as power, that shares a run with power circuits.

    Requires: each power circuit in the run belongs to equipment with which the control circuit is functionally associated.
    Why: where one machine is worked on, no other machine's wiring should lie live in the same pipe.
    Applies to: Class 1 and reclassified circuits.
    Example that fails: the start wires of the generator in the conduit of the car charger.
    Example that passes: the start wires in the conduit of the generator's own output.
    """
    wired_as_power = control.source_class == "1" or (control.source_class == "2" and control.is_reclassified)
    if not wired_as_power:
        return does_not_apply(f"{control.tag} is not wired as Class 1")
    sharing = [tag for run in control.runs for tag in given.system.circuits_in_run[run]]
    if not sharing:
        return does_not_apply(f"{control.tag} shares no run with power circuits")
    if control.has_barrier:
        return require(fact=True, message=f"{control.tag}: a barrier separates it from {', '.join(sharing)}")
    return all_of(f"{control.tag}: with the circuits of its own equipment", [_with(control, given, tag) for tag in dict.fromkeys(sharing)])


def _with(control: ControlCircuit, given: Given, tag: str) -> Judgement:
    """The equipment at both ends of the control circuit is associated without saying so."""
    ends = {end.tag for end in given.system.circuits[tag].ends}
    associated = {control.source, control.device, *control.associated_with}
    if (ends & {control.source, control.device} and len(ends & associated) > 1) or ends & set(control.associated_with):
        return require(fact=True, message=f"{control.tag} belongs to the equipment of {tag}")
    if not control.associated_with:
        return not_judged(f"equipment with which {control.tag} is functionally associated")
    return require(fact=False, message=f"{control.tag} shares a raceway with {tag}, to whose equipment it does not belong")
