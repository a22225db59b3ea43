"""In an enclosure with power conductors, control conductors are insulated for the highest voltage there, or kept apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.raceways.shared_raceway_voltage import building_wire_voltage, volts_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit


@rule(
    "control-insulation",
    title="In an enclosure with power conductors, control conductors are insulated for the highest voltage there, or kept apart",
    provision="circuits_sharing_raceway",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge the insulation of a control circuit at the equipment where it ends.

    Requires: insulation for the highest voltage of any circuit that lands in the enclosure, unless a barrier keeps them apart.
    Why: a cover closed on a bundle presses the thin lead against the lug.
    Applies to: control circuits that end in enclosures with power circuits.
    Example that fails: a 300 V sensor lead beside 450 V dc.
    Example that passes: the same lead behind a barrier.
    """
    ends = [tag for tag in (control.source, control.device) if given.system.circuits_at.get(tag)]
    if not ends or control.has_barrier:
        return does_not_apply(f"{control.tag} ends beside no power conductors, or a barrier keeps it apart")
    parts = parts_for(ends, lambda tag: _at(control, tag, given))
    return all_of(f"{control.tag}: insulated for what stands beside it", parts)


def _at(control: ControlCircuit, tag: str, given: Given) -> Judgement:
    rated = control.insulation_v or building_wire_voltage(given, control.tag, control.insulation)
    circuits = [given.system.circuits[each] for each in given.system.circuits_at[tag]]
    highest = max((volts for circuit in circuits for volts in volts_of(given, circuit)), key=lambda value: value.number)
    message = f"{control.tag}: insulated for {rated.figure} V, {highest.number:.4g} V in {tag}"
    return require_at_least(message, computed=rated, limit=highest)
