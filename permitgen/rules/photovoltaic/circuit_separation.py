"""PV dc conductors share no raceway or cable with other conductors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "pv-circuit-separation",
    title="PV dc conductors share no raceway or cable with other conductors",
    provision="pv_circuit_separation",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge what shares a run with PV dc conductors.

    Requires: only PV dc conductors in the run, or a barrier between them and the others; inverter output counts as others.
    Why: a dc fault that reaches ac conductors, or the other way round, finds devices that cannot open it.
    Applies to: runs that hold PV dc conductors; the control wires of the PV system itself may share.
    Example that fails: a string and a branch of microinverters in one EMT.
    Example that passes: two strings in one EMT.
    """
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag]]
    direct = [circuit.tag for circuit in circuits if role(given, circuit) is CircuitRole.PV_DC]
    others = [circuit.tag for circuit in circuits if circuit.tag not in direct]
    if not direct:
        return does_not_apply(f"{raceway.tag} holds no PV dc conductors")
    if not others:
        return require(fact=True, message=f"{raceway.tag} holds PV dc conductors only: {', '.join(direct)}")
    if raceway.is_cable or raceway.is_free_air:
        return does_not_apply(f"{raceway.tag}: each circuit is its own cable or runs in free air")
    shares = f"{raceway.tag}: {', '.join(direct)} with {', '.join(others)}"
    if raceway.answer("barrier"):
        return require(fact=True, message=f"{shares}, a barrier between them")
    return require(fact=False, message=f"{shares}, without a barrier between PV dc and the others")
