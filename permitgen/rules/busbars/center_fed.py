"""Center-fed panelboard of a dwelling: 120 percent with the sources at one end only."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import busbar_limit_a, supply_and_sources_a
from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.busbar_feeds import devices_on_busbar, protecting_rating, source_current, sources_at_end
from permitgen.rules.quantities.feed_through_lugs import feed_through_lugs, what_is_missing

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge ``P + 1.25 S ≤ 1.2 B`` where the panel is fed at its center and the sources sit at one end, not at both."""
    if not busbar.supply_end:
        return not_judged(f"at which end {busbar.tag} is fed").under(given.provision("center_fed_busbar"))
    if busbar.supply_end != "center":
        return does_not_apply("the busbar is not fed at its center")
    provision = given.provision("center_fed_busbar")
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    total = supply_and_sources_a.derive(
        protecting_a=protecting_rating(given, busbar),
        source_factor=provision.value("source_factor"),
        sources_a=source_current(given, busbar),
        provision=provision,
    )
    limit = busbar_limit_a.derive(busbar_factor=provision.value("busbar_factor"), rating_a=rating, provision=provision)
    verdict = require_at_most(
        f"{total.figure} A on {limit.figure} A, 120 percent of a center-fed busbar", computed=total, limit=limit, method="center-fed"
    ).under(provision)
    return verdict if verdict.verdict is Verdict.VIOLATED else _by_place(verdict, busbar, given).under(provision)


def _by_place(verdict: Judgement, busbar: Busbar, given: Given) -> Judgement:
    """Judge where the sources stand, the sum being within the limit."""
    devices = devices_on_busbar(given, busbar)
    ends = [sources_at_end(busbar, devices, end) for end in ("top", "bottom")]
    if None in ends:
        return not_judged(f"breaker positions of the sources in {busbar.tag}")
    lugs = feed_through_lugs(given, busbar)
    if lugs is None and busbar.has_feed_through_lugs:
        return not_judged(what_is_missing(busbar))
    if lugs is not None and lugs.feeds_loads:
        return not_judged(f"at which end of {busbar.tag} the feed-through lugs are")
    return verdict if any(ends) else does_not_apply("not every source is at one and the same end of the center-fed busbar")
