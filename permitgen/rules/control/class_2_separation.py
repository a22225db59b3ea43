"""Class 2 wiring shares no raceway with power or Class 1 wiring."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit


@rule(
    "class-2-separation",
    title="Class 2 wiring shares no raceway with power or Class 1 wiring",
    provision="class_2_separation",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge what shares the runs of a Class 2 circuit.

    Requires: no power, PV or Class 1 conductor in the same raceway, unless a barrier parts them; or the circuit reclassified and wired
    as power, which another rule judges.
    Why: one nicked conductor puts line voltage on a circuit that people touch.
    Applies to: Class 2 circuits with stated runs.
    Example that fails: the communication cable of a battery in its power conduit.
    Example that passes: two Class 2 loops in a conduit of their own.
    """
    if control.source_class is None:
        return not_judged(f"what supplies {control.tag}: a Class 2 output, or a circuit with which overcurrent device")
    if control.source_class != "2" or control.is_reclassified:
        return does_not_apply(f"{control.tag} is not wired as Class 2 (see class-1-with-power)")
    if not control.runs:
        return not_judged(f"raceway of {control.tag}")
    return all_of(f"{control.tag}: apart from power wiring", [_in_run(control, given, run) for run in control.runs])


def _in_run(control: ControlCircuit, given: Given, run: str) -> Judgement:
    others = [other for other in given.system.controls.values() if run in other.runs and other.tag != control.tag]
    power = [*given.system.circuits_in_run[run], *(o.tag for o in others if o.source_class == "1" or o.is_reclassified)]
    unknown = [other.tag for other in others if other.source_class is None]
    if power and control.has_barrier:
        return require(fact=True, message=f"{control.tag}: a barrier separates it from {', '.join(power)} in {run}")
    if power:
        return require(fact=False, message=f"{control.tag}: Class 2 wiring shares {run} with {', '.join(power)}")
    if unknown:
        return not_judged(f"class of {', '.join(unknown)}, which shares {run} with {control.tag}")
    return require(fact=True, message=f"{control.tag}: {run} holds no power wiring")
