"""A meter socket is listed and rated for the service, unless the utility supplies it and alone controls it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, require, require_at_least
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import circuit_current, role
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.service_disconnects import serving_disconnects
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.equation import one_or_sum_of, selected

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.pass_through import Meter
    from permitgen.system.walks.feeds import Border
    from permitgen.values.value import Value


@rule(
    "meter-socket",
    title="A meter socket is listed and rated for the service, unless the utility supplies it and alone controls it",
    provision="meter_socket",
    judges="meter",
)
def judge(meter: Meter, given: Given) -> Judgement:
    """Judge the socket of a revenue meter.

    Requires: listed, or the utility's own; rating ≥ that of the service, which is that of its disconnects together, or where these may
        exceed the service conductors, what those carry; ≥ the current of other conductors on it.
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
    if role(given, circuit) is CircuitRole.SERVICE and (beyond := serving_disconnects(given, circuit)):
        yield any_of(f"{meter.tag}: its socket and the service", _for_service(meter, circuit, _class_of(rating, given), beyond, given))
        return
    current = circuit_current(given, circuit).maximum_a
    message = f"{meter.tag}: a socket of {rating.figure} A, {circuit.tag} carries {current.number:.4g} A"
    yield require_at_least(message, computed=rating, limit=current)


def _for_service(meter: Meter, circuit: Circuit, rating: Value, beyond: Sequence[Border], given: Given) -> list[Judgement]:
    def by_disconnects() -> Judgement:
        ratings = [
            given.need(each.device.rating_a, f"rating of {each.link.part}").named(f"I_{n}") for n, each in enumerate(beyond, start=1)
        ]
        together = one_or_sum_of(ratings, symbol="ΣI", title=f"ratings of the service disconnects beyond {circuit.tag}")
        what = "disconnects" if len(ratings) > 1 else "disconnect"
        message = f"{meter.tag}: a socket for {rating.figure} A, service {what} of {together.figure} A beyond {circuit.tag}"
        return require_at_least(message, computed=rating, limit=together, method="disconnects")

    def by_conductors() -> Judgement | None:
        if len(beyond) == 1:
            return None
        carried = conductor_ampacity(given, circuit).final_a
        message = f"{meter.tag}: a socket for {rating.figure} A, {circuit.tag} carries {carried.number:.4g} A at most"
        return require_at_least(message, computed=rating, limit=carried, method="service conductors")

    return parts_of(by_disconnects, by_conductors)


def _class_of(rating: Value, given: Given) -> Value:
    """Return the service for which a socket is made, A: its continuous rating, except for the class that is made for more."""
    provision = given.provision("meter_socket_class")
    continuous, service = provision.value("continuous_a"), provision.value("service_a")
    if not continuous.number <= rating.number < service.number:
        return rating
    return selected(
        service.number,
        "a",
        by="class of the socket",
        inputs=(rating, continuous, service),
        symbol="R",
        title=rating.title,
        provision=provision,
    )
