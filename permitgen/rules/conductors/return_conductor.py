"""A circuit of one ungrounded conductor has a grounded one for its return; the grounding conductor carries no load current."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "return-conductor",
    title="A circuit of one ungrounded conductor has a grounded one for its return; the grounding conductor carries no load current",
    provision="return_conductor",
    judges="circuit",
)
def judge(circuit: Circuit, _given: Given) -> Judgement:
    """Judge whether the current of an ac circuit has a conductor to return by.

    Requires: a grounded (neutral) conductor beside a single ungrounded one.
    Why: without it the current returns over the grounding conductor and every metal case on it.
    Applies to: ac circuits of one ungrounded conductor; two of them return by each other.
    Example that fails: a 120 V circuit of one hot conductor and a ground.
    Example that passes: the same with a neutral.
    """
    if circuit.is_dc or circuit.conductors.ungrounded_count != 1:
        return does_not_apply(f"{circuit.tag} has {'dc' if circuit.is_dc else circuit.conductors.ungrounded_count} conductors to return by")
    neutral = circuit.conductors.has_neutral
    return require(neutral, f"{circuit.tag}: one ungrounded conductor {'and a neutral' if neutral else 'without a neutral'}")
