"""Service conductors are protected at their load end, by the service disconnects."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, not_judged
from permitgen.rules.quantities.feeding import place_of
from permitgen.system.walks.dwelling_load import load_places, service_disconnects_beyond
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value

Protects = Callable[["Circuit", "Given", "Value", str], Judgement]


def judge(circuit: Circuit, given: Given, protects: Protects) -> Judgement:
    """Judge the service disconnects that lie beyond the conductors; those that only bring sources add no load.

    Several disconnects may together exceed the ampacity where the calculated load does not; that load is then asked for.
    """
    provision = given.provision("service_overcurrent")
    found = service_disconnects_beyond(given.system, circuit.tag)
    if not found:
        return not_judged(f"service disconnect beyond {circuit.tag}").under(provision)
    places = load_places(given.system)
    serving = [each for each in found if each.beyond & places] or list(found)
    ratings = [given.need(each.device.rating_a, f"rating of {each.link.part}") for each in serving]
    if len(ratings) == 1:
        return protects(circuit, given, ratings[0], f"device {place_of(serving[0].link)}")
    named = [rating.named(f"OCPD_{number}") for number, rating in enumerate(ratings, start=1)]
    total = sum_of(named, symbol="ΣOCPD", title=f"service disconnects on {circuit.tag} together")
    together = protects(circuit, given, total, "service disconnects together")
    if together.verdict is not Verdict.VIOLATED:
        return together
    return not_judged(f"calculated load on {circuit.tag}, where its service disconnects together exceed its ampacity").under(provision)
