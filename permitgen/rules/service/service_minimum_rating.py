"""The service disconnect is rated for at least the smallest service that the code permits.

A one-family dwelling has at least 100 A, other buildings 60 A; several service disconnects together must reach what one would have
to have.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, either_way, require_at_least
from permitgen.rules.quantities.dwelling_carried import serves_one_family
from permitgen.rules.quantities.service_disconnects import disconnects_of
from permitgen.rules.rule import rule
from permitgen.values.equation import one_or_sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utility_service import UtilityService
    from permitgen.values.value import Value


@rule(
    "service-minimum-rating",
    title="The service disconnect is rated for at least the smallest service that the code permits",
    provision="service_minimum_rating",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge the rating of the service disconnects together.

    Requires: sum of the ratings of the service disconnects ≥ 100 A for a one-family dwelling, 60 A otherwise.
    Why: a dwelling outgrows a smaller service before its equipment wears out.
    Applies to: services, each by the buildings that it supplies; disconnects of sources on the supply side do not count.
    Example that fails: 90 A main breaker as the service disconnect of a house.
    Example that passes: 100 A main breaker.
    """
    disconnects = disconnects_of(given, service.tag)
    if not disconnects:
        return does_not_apply(f"{service.tag}: no service disconnect")
    ratings = [given.need(d.rating_a, f"rating of {d.handle}").named(f"I_{d.enclosure}", f"rating of {d.handle}") for d in disconnects]
    total = one_or_sum_of(ratings, symbol="ΣI", title="ratings of the service disconnects together")
    one_family = serves_one_family(given, service.tag)
    kinds = ("one_family_a", "other_a") if one_family is None else ("one_family_a" if one_family else "other_a",)
    return either_way([_at_least(given, service, total, kind) for kind in kinds], f"whether {service.tag} supplies a one-family dwelling")


def _at_least(given: Given, service: UtilityService, total: Value, kind: str) -> Judgement:
    limit = given.provision("service_minimum_rating").value(kind)
    what = "a one-family dwelling" if kind == "one_family_a" else "other than a one-family dwelling"
    message = f"{service.tag}: service of {total.figure} A, at least {limit.figure} A for {what}"
    return require_at_least(message, computed=total, limit=limit)
