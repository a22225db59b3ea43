"""Voltage drop stays within what the informational notes call reasonable: 3 percent on a branch circuit or feeder, 5 percent together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require_at_most
from permitgen.rules.larger_conductor import larger_conductors
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.circuit_current import circuit_current, circuit_volts, role
from permitgen.rules.quantities.voltage_drop import drop_v, percent_of
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.service_path import circuits_toward_utility
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value

_FEEDERS = (CircuitRole.FEEDER, CircuitRole.GENERATOR_OUTPUT)


@rule(
    "voltage-drop",
    title="Voltage drop stays within what the informational notes call reasonable: 3 percent on a branch circuit or feeder, "
    "5 percent together",
    provision="voltage_drop",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the drop at the current of the load, without the 125 percent; more is a caution, since the note only advises.

    Requires: 3 percent on the branch circuit, 3 percent on the feeder, 5 percent on both together.
    Why: motors run hot and lights dim at the end of a long thin circuit.
    Applies to: branch circuits, feeders and the circuit of a generator; not service conductors, and sources have their own rule.
    Example that fails: 32 A over 150 ft of 8 AWG copper at 240 V, 3.1 percent.
    Example that passes: 32 A over 60 ft of it, 1.2 percent.
    """
    role_ = role(given, circuit)
    if role_ is not CircuitRole.BRANCH and role_ not in _FEEDERS:
        return does_not_apply(f"{circuit.tag} is neither branch circuit nor feeder")
    feeder = role_ in _FEEDERS
    provision = given.provision("feeder_voltage_drop" if feeder else "voltage_drop")
    own = _percent(circuit, given)
    limit = provision.value("feeder_percent" if feeder else "branch_percent")
    parts = [
        require_at_most(
            f"{circuit.tag}: voltage drop {own.number:.2f} percent, {limit.figure} percent advised",
            computed=own,
            limit=limit,
            otherwise=Verdict.CAUTION,
            remedies=larger_conductors(circuit),
        ).under(provision)
    ]
    if not feeder:
        parts += parts_of(lambda: _with_feeders(circuit, given, own))
    return all_of(f"{circuit.tag}: voltage drop {own.number:.2f} percent", parts)


def _percent(circuit: Circuit, given: Given) -> Value:
    current = circuit_current(given, circuit).maximum_a
    return given.once(("voltage drop", circuit.tag), lambda: percent_of(given, circuit, drop_v(given, circuit, current)))


def _with_feeders(circuit: Circuit, given: Given, own: Value) -> list[Judgement]:
    """Add the feeders on the way to the service; only percents of one voltage are added."""
    volts = circuit_volts(given, circuit).number
    start = f"{circuit.tag}.start"
    feeders = [
        other
        for other in circuits_toward_utility(given.system, start)
        if role(given, other) is CircuitRole.FEEDER and other.tag != circuit.tag and circuit_volts(given, other).number == volts
    ]
    if not feeders:
        return []
    provision = given.provision("voltage_drop")
    each = [_percent(feeder, given).named(f"ΔV_{feeder.tag}") for feeder in feeders]
    total = sum_of([own.named(f"ΔV_{circuit.tag}"), *each], symbol="ΣΔV", title=f"voltage drop of {circuit.tag} and its feeders")
    limit = provision.value("total_percent")
    message = f"{circuit.tag}: voltage drop {total.number:.2f} percent with its feeder, {limit.figure} percent advised"
    return [require_at_most(message, computed=total, limit=limit, otherwise=Verdict.CAUTION).under(provision)]
