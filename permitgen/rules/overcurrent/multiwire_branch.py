"""The ungrounded conductors of a multiwire branch circuit open together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.protection import devices_protecting, poles_of
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "multiwire-branch",
    title="The ungrounded conductors of a multiwire branch circuit open together",
    provision="multiwire_branch_circuit",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the poles of the device of a branch circuit with two ungrounded conductors and a neutral.

    Requires: one device with a pole for each ungrounded conductor (or handles tied together, stated as poles).
    Why: with one leg off and the other live, the neutral that a person opens carries the whole current.
    Applies to: branch circuits of two ungrounded conductors with a shared neutral.
    Example that fails: two single-pole breakers on a shared neutral.
    Example that passes: a two-pole breaker.
    """
    conductors = circuit.conductors
    if role(given, circuit) is not CircuitRole.BRANCH or conductors.ungrounded_count < 2 or not conductors.has_neutral:
        return does_not_apply(f"{circuit.tag} is no multiwire branch circuit")
    found = devices_protecting(given, circuit)
    device = given.need(found[0].device if found else None, f"overcurrent device of {circuit.tag}")
    number = poles_of(given, device, circuit.tag)
    poles = Value(float(number), "count", FromSystem(f"poles of the device of {circuit.tag}"), "n", "poles that open together")
    needed = Value(float(conductors.ungrounded_count), "count", FromSystem(f"conductors of {circuit.tag}"), "N", "ungrounded conductors")
    return require_at_least(
        f"{circuit.tag}: {number}-pole device for {conductors.ungrounded_count} ungrounded conductors on one neutral",
        computed=poles,
        limit=needed,
    )
