"""The service disconnect is rated for at least the smallest service that the code permits.

A one-family dwelling has at least 100 A, other buildings 60 A; several service disconnects together must reach what one would have
to have.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.quantities.dwelling_kind import is_one_family
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utility_service import UtilityService


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
    Applies to: services; disconnects of sources on the supply side do not count.
    Example that fails: 90 A main breaker as the service disconnect of a house.
    Example that passes: 100 A main breaker.
    """
    disconnects = service_side(given).of_loads
    if not disconnects:
        return does_not_apply(f"{service.tag}: no service disconnect")
    ratings = [given.need(d.rating_a, f"rating of {d.handle}").named(f"I_{d.enclosure}", f"rating of {d.handle}") for d in disconnects]
    total = ratings[0] if len(ratings) == 1 else sum_of(ratings, symbol="ΣI", title="ratings of the service disconnects together")
    kind = "one_family_a" if is_one_family(given) else "other_a"
    limit = given.provision("service_minimum_rating").value(kind)
    return require_at_least(
        f"{service.tag}: service of {total.number:g} A, at least {limit.number:g} A for a {given.system.site.dwelling} building"
        if kind == "other_a"
        else f"{service.tag}: service of {total.number:g} A, at least {limit.number:g} A for a one-family dwelling",
        computed=total,
        limit=limit,
    )
