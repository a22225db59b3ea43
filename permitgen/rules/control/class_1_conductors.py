"""Class 1 conductors are protected by what their smallest part can carry, the short tails at the device among them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require_at_most
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.values.value import Value


@rule(
    "class-1-conductors",
    title="Class 1 conductors are protected by what their smallest part can carry, the short tails at the device among them",
    provision="class_1_conductors",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge the overcurrent device of a Class 1 circuit against its smallest conductor.

    Requires: 7 A for 18 AWG, 10 A for 16 AWG; from 14 AWG the ampacity, without factors.
    Why: a starting battery or a 20 A breaker drives enough current through an 18 AWG tail to burn it.
    Applies to: Class 1 circuits; Class 2 supplies limit themselves.
    Example that fails: 14 AWG field wire with 16 AWG tails on a 15 A breaker.
    Example that passes: the same behind a 10 A fuse.
    """
    if control.source_class is None:
        return not_judged(f"what supplies {control.tag}: a Class 2 output, or a circuit with which overcurrent device")
    if control.source_class != "1":
        return does_not_apply(f"{control.tag}: a Class 2 supply limits itself")
    size = given.need(control.size, f"conductor size of {control.tag}")
    smallest = min(size, control.tail_size) if control.tail_size is not None else size
    device = given.need(control.supply_overcurrent_a, f"overcurrent device that supplies {control.tag}").named("OCPD")
    limit = largest_device(given, smallest)
    part = "tails" if smallest != size else "conductors"
    return require_at_most(
        f"{control.tag}: {smallest} {part} behind {device.figure} A, at most {limit.figure} A", computed=device, limit=limit
    )


def largest_device(given: Given, size: ConductorSize) -> Value:
    """Return the largest overcurrent device of a Class 1 conductor, A: by its size, from 14 AWG by its ampacity at 60 °C."""
    if size < ConductorSize("14"):
        return given.provision("class_1_conductors").value(f"size_{size.name}_a").named("OCPD_max", f"largest breaker or fuse on {size}")
    return given.table("conductor_ampacity").at(size, "copper_60c").named("OCPD_max", f"ampacity of {size} without factors")
