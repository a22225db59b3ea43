"""Single conductors of an array in the open are PV wire or USE-2."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "pv-single-conductors",
    title="Single conductors of an array in the open are PV wire or USE-2",
    provision="pv_single_conductors",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the insulation of PV dc conductors that run in free air.

    Requires: USE-2 or PV wire where single conductors are exposed.
    Why: other insulation does not stand sun, heat and the weather under modules for decades.
    Applies to: PV dc circuits with a run in free air.
    Example that fails: THWN-2 in free air under the array.
    Example that passes: PV wire there.
    """
    if role(given, circuit) is not CircuitRole.PV_DC:
        return does_not_apply(f"{circuit.tag} is no PV dc circuit")
    open_runs = [tag for tag in circuit.runs if given.system.raceways[tag].is_free_air]
    if not open_runs:
        return does_not_apply(f"{circuit.tag} has no run in free air")
    permitted = given.provision("pv_single_conductors").words("insulation")
    insulation = given.need(circuit.conductors.insulation or None, f"insulation of {circuit.tag}")
    known = insulation.casefold() in {name.casefold() for name in permitted}
    return require(known, f"{circuit.tag}: {insulation} in free air ({', '.join(open_runs)}); permitted are {' and '.join(permitted)}")
