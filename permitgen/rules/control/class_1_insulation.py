"""Class 1 conductors have insulation for at least 600 V, whatever the voltage of the circuit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require_at_least
from permitgen.rules.raceways.shared_raceway_voltage import building_wire_voltage
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit


@rule(
    "class-1-insulation",
    title="Class 1 conductors have insulation for at least 600 V, whatever the voltage of the circuit",
    provision="class_1_insulation",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge the insulation of a Class 1 circuit, alone in its raceway or not.

    Requires: insulation rated for 600 V; building wire is.
    Why: a Class 1 supply drives fault currents that bell wire does not survive.
    Applies to: Class 1 circuits, and Class 2 circuits that are wired as such.
    Example that fails: a start circuit of a generator in 300 V cable.
    Example that passes: the same in THHN.
    """
    if control.source_class is None:
        return not_judged(f"what supplies {control.tag}: a Class 2 output, or a circuit with which overcurrent device")
    if control.source_class != "1" and not control.is_reclassified:
        return does_not_apply(f"{control.tag}: not Class 1")
    rated = control.insulation_v or building_wire_voltage(given, control.tag, control.insulation)
    least = given.provision("class_1_insulation").value("rated_v").named("U_min", "least insulation of Class 1 conductors")
    message = f"{control.tag}: Class 1 conductors insulated for {rated.figure} V, at least {least.figure} V"
    return require_at_least(message, computed=rated, limit=least)
