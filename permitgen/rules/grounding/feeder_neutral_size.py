"""The neutral of a feeder or generator circuit is not smaller than its equipment grounding conductor would be.

A short between a phase and the neutral must operate the device, as a ground fault must; the neutral load is judged elsewhere. The
conductors from a generator or an inlet for its cord are a feeder too: they lead from a power supply to the last overcurrent device.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.larger_conductor import with_neutral
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_conductor_device import device_rating
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit

_JUDGED = (CircuitRole.FEEDER, CircuitRole.GENERATOR_OUTPUT)


@rule(
    "feeder-neutral-size",
    title="The neutral of a feeder or generator circuit is not smaller than its equipment grounding conductor would be",
    provision="feeder_neutral_size",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the neutral of one circuit against the grounding conductor table.

    Requires: area of the neutral ≥ area of the equipment grounding conductor that the circuit's device asks for, which is never
        larger than the circuit conductors.
    Why: otherwise a fault to the neutral may burn it open before the device trips.
    Applies to: feeders and circuits of generators and their inlets, with a neutral.
    Example that fails: 8 AWG neutral in a feeder on a 125 A device; 6 AWG is required.
    Example that passes: 6 AWG neutral, the same feeder.
    """
    if role(given, circuit) not in _JUDGED or not circuit.conductors.has_neutral:
        return does_not_apply(f"{circuit.tag}: no feeder or generator circuit with a neutral")
    conductors = circuit.conductors
    size = conductors.neutral_size or given.need(conductors.size, f"conductor size of {circuit.tag}")
    rating = device_rating(given, circuit)
    table = given.table("equipment_grounding_conductor")
    required = ConductorSize(table.band_text(rating.number, conductors.material).text)
    if conductors.size is not None and conductors.sets == 1:
        # 250.122(A): never larger than the circuit conductors, which are judged by themselves.
        required = min(required, conductors.size)
    limit = selected(
        area_of_size(given, required).number,
        "cmil",
        by=table.number,
        inputs=(rating,),
        symbol="A_EGC",
        title=f"grounding conductor for {rating.figure} A, {required}",
        provision=given.provision("feeder_neutral_size"),
    )
    return require_at_least(
        f"{circuit.tag}: {size} {conductors.material} neutral on a {rating.figure} A breaker or fuse; {required} is required",
        computed=area_of_size(given, size, "A_N", f"area of the neutral, {size}"),
        limit=limit,
        remedies=(with_neutral(circuit, required),),
    )
