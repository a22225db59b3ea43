"""A meter socket is listed and rated for the service, unless the utility supplies it and alone controls it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_least
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import circuit_current
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.pass_through import Meter


@rule(
    "meter-socket",
    title="A meter socket is listed and rated for the service, unless the utility supplies it and alone controls it",
    provision="meter_socket",
    judges="meter",
)
def judge(meter: Meter, given: Given) -> Judgement:
    """Judge the socket of a revenue meter.

    Requires: listed, or the utility's own; rating ≥ the current of the conductors on it.
    Why: the whole house flows through its jaws, ahead of every breaker that could open.
    Applies to: meters that are new or replaced.
    Example that fails: an unlisted socket of the customer; a 100 A socket for a 200 A service.
    Example that passes: a listed 200 A socket for it.
    """
    if meter.status == "existing":
        return does_not_apply(f"{meter.tag} is existing and stays")
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(meter.tag, ())]
    parts = [*parts_of(lambda: _listed(meter)), *parts_for(circuits, lambda circuit: _rated(meter, circuit, given))]
    return all_of(f"{meter.tag}: listed and rated for the service", parts)


def _listed(meter: Meter) -> Judgement:
    if meter.answer("utility_owned"):
        return require(fact=True, message=f"{meter.tag} is supplied by the utility and under its control")
    listed = meter.answer("socket_listed")
    message = f"{meter.tag}: the socket is {'' if listed else 'not '}listed"
    return require(listed, message, missing=f"whether the socket of {meter.tag} is listed, or the utility's own")


def _rated(meter: Meter, circuit: Circuit, given: Given) -> Iterator[Judgement]:
    stated = given.need(meter.fact("rating"), f"rating of the socket of {meter.tag}")
    rating = stated.named("R", f"rating of the socket of {meter.tag}")
    current = circuit_current(given, circuit).maximum_a
    message = f"{meter.tag}: a socket of {rating.number:g} A, {circuit.tag} carries {current.number:.4g} A"
    yield require_at_least(message, computed=rating, limit=current)
