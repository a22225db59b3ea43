"""Power conductors are not smaller than the smallest size the code admits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, require
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "minimum-size",
    title="Power conductors are not smaller than the smallest size the code admits",
    provision="minimum_conductor_size",
    judges="circuit",
    sizes=("conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the size of a circuit's conductors; conductors from the utility to the first equipment have a larger minimum.

    Requires: 14 AWG copper, 12 AWG aluminum; of service drops and laterals 8 AWG copper, 6 AWG aluminum; in parallel 1/0 AWG.
    Why: thinner wire breaks in pulling and under screws.
    Applies to: power circuits; control circuits have rules of their own.
    Example that fails: 14 AWG aluminum.
    Example that passes: 12 AWG aluminum.
    """
    parts = [_judge(circuit, given, given.provision("minimum_conductor_size"))]
    if any(given.system.equipment[end.tag].kind == "utility_service" for end in circuit.ends):
        parts.append(_judge(circuit, given, given.provision("service_conductor_minimum")))
    if circuit.conductors.sets > 1:
        parts.append(_in_parallel(circuit, given))
    return all_of(parts[-1].message, parts)


def _in_parallel(circuit: Circuit, given: Given) -> Judgement:
    provision = given.provision("parallel_conductors")
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    smallest = ConductorSize(provision.text("smallest_size"))
    return require(size >= smallest, f"{circuit.tag}: {size} in {circuit.conductors.sets} sets, at least {smallest} each").under(provision)


def _judge(circuit: Circuit, given: Given, provision: Provision) -> Judgement:
    conductors = circuit.conductors
    size = given.need(conductors.size, f"conductor size of {circuit.tag}")
    smallest = ConductorSize(provision.text(f"smallest_{conductors.material}_size"))
    return require(size >= smallest, f"{circuit.tag}: {size} {conductors.material}, at least {smallest}").under(provision)
