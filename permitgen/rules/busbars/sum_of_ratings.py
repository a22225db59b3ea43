"""Sum of ratings: protecting device plus 125 percent of the sources within the busbar's rating; any position."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import busbar_limit_a, supply_and_sources_a
from permitgen.rules.judgement import Judgement, require_at_most
from permitgen.rules.quantities.busbar_feeds import protecting_rating, source_current

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge ``P + 1.25 S ≤ B``."""
    provision = given.provision("sum_of_ratings")
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    total = supply_and_sources_a.derive(
        protecting_a=protecting_rating(given, busbar),
        source_factor=provision.value("source_factor"),
        sources_a=source_current(given, busbar),
        provision=provision,
    )
    limit = busbar_limit_a.derive(busbar_factor=provision.value("busbar_factor"), rating_a=rating, provision=provision)
    return require_at_most(
        f"{total.figure} A on a busbar of {rating.figure} A by the sum of ratings", computed=total, limit=limit, method="sum of ratings"
    ).under(provision)
