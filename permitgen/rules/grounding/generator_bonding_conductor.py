"""Ahead of the first overcurrent device the bonding conductor of a generator is sized by its conductors, not by a device.

A generator with a breaker of its own has an ordinary equipment grounding conductor behind it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_service_area import area_of, jumper_for
from permitgen.rules.rule import rule
from permitgen.system.equipment.generator import Generator

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "generator-bonding-conductor",
    title="Ahead of the first overcurrent device the bonding conductor of a generator is sized by its conductors, not by a device",
    provision="permanent_generator_grounding",
    judges="circuit",
    sizes=("equipment grounding conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the grounding wire between a generator without a breaker and the first device.

    Requires: area ≥ the bonding-jumper table's for the ungrounded conductors of the generator.
    Why: no device of the premises clears a fault on these conductors; the wire must outlast what the machine can drive.
    Applies to: circuits of permanently installed generators without an overcurrent device of their own.
    Example that fails: 10 AWG copper with generator conductors of 4 AWG copper; 8 AWG is required.
    Example that passes: 8 AWG copper with the same.
    """
    ends = (given.system.equipment[end.tag] for end in circuit.ends)
    machine = next((item for item in ends if isinstance(item, Generator)), None)
    if machine is None or machine.is_portable:
        return does_not_apply(f"{circuit.tag}: no permanently installed generator at its end")
    if machine.device is not None:
        return does_not_apply(f"{circuit.tag}: the device of {machine.tag} decides (see equipment-grounding-conductor-size)")
    if not circuit.conductors.has_wire_egc:
        return does_not_apply(f"{circuit.tag}: no bonding wire in it")
    size = given.need(circuit.conductors.egc_size, f"bonding conductor of {circuit.tag}")
    own = replace(circuit, conductors=replace(circuit.conductors, sets=1))
    required = jumper_for(given, area_of(given, [own]), circuit.conductors.egc_material)
    return require_at_least(
        f"{circuit.tag}: {size} {circuit.conductors.egc_material} from {machine.tag}; {required} is required ahead of its first device",
        computed=area_of_size(given, size, "A_SSBJ", f"area of the bonding conductor of {circuit.tag}, {size}"),
        limit=required.area_cmil,
    )
