"""PV dc conductors share no junction box with other conductors unless a barrier parts them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.pass_through import JunctionBox


@rule(
    "pv-box-separation",
    title="PV dc conductors share no junction box with other conductors unless a barrier parts them",
    provision="pv_circuit_separation",
    judges="junction_box",
)
def judge(box: JunctionBox, given: Given) -> Judgement:
    """Judge what shares a box with PV dc conductors.

    Requires: only PV dc conductors in the box, or a barrier between them and the others.
    Why: splices of different systems side by side get joined by mistake, and a dc fault finds devices that cannot open it.
    Applies to: junction boxes with PV dc conductors; the inside of listed inverters is the listing's.
    Example that fails: a roof box that holds a string and a branch of microinverters.
    Example that passes: the same box with a partition.
    """
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(box.tag, ())]
    direct = [circuit.tag for circuit in circuits if role(given, circuit) is CircuitRole.PV_DC]
    others = [circuit.tag for circuit in circuits if circuit.tag not in direct]
    if not direct or not others:
        return does_not_apply(f"{box.tag} does not hold PV dc conductors beside others")
    shares = f"{box.tag}: {', '.join(direct)} with {', '.join(others)}"
    if box.answer("barrier"):
        return require(fact=True, message=f"{shares}, a barrier between them")
    return require(fact=False, message=f"{shares}, without a barrier between PV dc and the others")
