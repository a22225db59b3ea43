"""Service conductors are protected at their load end, by the service disconnects."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, not_judged
from permitgen.rules.loads.methods import judge_load
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.feeding import place_of
from permitgen.rules.quantities.load_capacity import feeder_scope
from permitgen.rules.quantities.service_disconnects import serving_disconnects
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value

Protects = Callable[["Circuit", "Given", "Value", str], Judgement]


def judge(circuit: Circuit, given: Given, protects: Protects) -> Judgement:
    """Judge the service disconnects that lie beyond the conductors; those that only bring sources add no load.

    Several disconnects may together exceed the ampacity where the calculated load does not.
    """
    provision = given.provision("service_overcurrent")
    serving = serving_disconnects(given, circuit)
    if not serving:
        return not_judged(f"service disconnect beyond {circuit.tag}").under(provision)
    ratings = [given.need(each.device.rating_a, f"rating of {each.link.part}") for each in serving]
    if len(ratings) == 1:
        return protects(circuit, given, ratings[0], f"device {place_of(serving[0].link)}")
    named = [rating.named(f"OCPD_{number}") for number, rating in enumerate(ratings, start=1)]
    total = sum_of(named, symbol="ΣOCPD", title=f"service disconnects on {circuit.tag} together")
    together = protects(circuit, given, total, "service disconnects together")
    if together.holds:
        return together
    scope = feeder_scope(given, circuit)
    if scope is None or scope.is_empty:
        return not_judged(f"calculated load on {circuit.tag}, where its service disconnects together exceed its ampacity").under(provision)
    ampacity = conductor_ampacity(given, circuit).final_a
    message = f"{circuit.tag}: calculated load on its ampacity, with several disconnects"
    by_load = judge_load(given, scope, ampacity, message, behind=circuit.tag).under(provision)
    return any_of(f"{circuit.tag}: service disconnects together", [together, by_load])
