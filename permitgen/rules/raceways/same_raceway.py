"""The equipment grounding conductor runs with the conductors it protects."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "same-raceway",
    title="The equipment grounding conductor runs with the conductors it protects",
    provision="same_raceway",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge a circuit that shares the grounding conductor of another.

    Requires: the other circuit's conductor lies in every run of this one.
    Why: fault current that returns by another way meets a reactance that keeps devices from opening.
    Applies to: circuits that name another circuit's equipment grounding conductor; the own conductors of a circuit are modeled together.
    Example that fails: a branch that shares the ground of one in the next conduit.
    Example that passes: three branches in one conduit with one ground.
    """
    other_tag = circuit.conductors.egc_shared_with
    if not other_tag:
        return does_not_apply(f"{circuit.tag} has a grounding conductor of its own, or a raceway as one")
    other = given.need(given.system.circuits.get(other_tag), f"circuit {other_tag}, whose grounding conductor {circuit.tag} shares")
    apart = [tag for tag in circuit.runs if tag not in other.runs]
    return require(
        not apart,
        f"{circuit.tag}: the grounding conductor of {other_tag} {'is missing in ' + ', '.join(apart) if apart else 'is in all its runs'}",
    )
