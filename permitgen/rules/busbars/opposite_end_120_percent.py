"""The 120 percent rule: sources at the end of the busbar opposite its main, marked not to be relocated."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import busbar_limit_a, supply_and_sources_a
from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.quantities.busbar_feeds import devices_on_busbar, protecting_rating, source_current, sources_at_end
from permitgen.rules.quantities.feed_through_lugs import feed_through_lugs, what_is_missing

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.feed_through_lugs import FeedThroughLugs
    from permitgen.system.busbar import Busbar
    from permitgen.values.value import Value

METHOD = "opposite end, 120 percent"


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge ``P + 1.25 S ≤ 1.2 B`` where the sources sit at the end opposite the supply.

    Feed-through lugs are at that end too: what comes in through them alone is opposite, what they feed lies beyond the breakers.
    """
    provision = given.provision("opposite_end_120_percent")
    if not busbar.supply_end:
        return not_judged(f"at which end {busbar.tag} is fed").under(provision)
    if busbar.supply_end == "center":
        return does_not_apply("the busbar is fed at its center")
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    total = supply_and_sources_a.derive(
        protecting_a=protecting_rating(given, busbar),
        source_factor=provision.value("source_factor"),
        sources_a=source_current(given, busbar),
        provision=provision,
    )
    limit = busbar_limit_a.derive(busbar_factor=provision.value("busbar_factor"), rating_a=rating, provision=provision)
    verdict = require_at_most(
        f"{total.figure} A on {limit.figure} A, 120 percent of the busbar's rating",
        computed=total,
        limit=limit,
        method=METHOD,
    ).under(provision)
    return verdict if verdict.verdict is Verdict.VIOLATED else _by_place(verdict, busbar, rating, given).under(provision)


def _by_place(verdict: Judgement, busbar: Busbar, rating: Value, given: Given) -> Judgement:
    """Judge where the sources stand, the sum being within the limit."""
    lugs = feed_through_lugs(given, busbar)
    if lugs is None and busbar.has_feed_through_lugs:
        return not_judged(what_is_missing(busbar))
    devices = devices_on_busbar(given, busbar)
    if lugs is not None and lugs.brings_source and not any(device.feeds_from_source for device in devices):
        return verdict
    far = "bottom" if busbar.supply_end == "top" else "top"
    at_end = sources_at_end(busbar, devices, far)
    if at_end is None:
        return not_judged(f"breaker positions of the sources in {busbar.tag}")
    if not at_end:
        parts = [device.part for device in devices if device.feeds_from_source]
        stand = f"{' and '.join(parts)} {'is not' if len(parts) == 1 else 'are not all'} at the end opposite the supply"
        return replace(require(fact=False, message=f"{verdict.message}, but {stand}"), method=METHOD)
    return _before_lugs(verdict, lugs, rating, given) if lugs is not None and lugs.feeds_loads else verdict


def _before_lugs(verdict: Judgement, lugs: FeedThroughLugs, rating: Value, given: Given) -> Judgement:
    """Judge sources with feed-through lugs beyond them: between the two the busbar carries what utility and sources give together.

    A device at an end of the feed-through conductors, not above the busbar's rating, limits that. Whether the edition lets the
    method stand then, is read in its item for feed-through conductors; where it is silent the verdict is a caution.
    """
    if lugs.device is None:
        return does_not_apply("the feed-through lugs lie beyond the sources, and no device at an end of their conductors limits them")
    part = lugs.device.link.part
    device = given.need(lugs.device.device.rating_a, f"rating of {part}")
    limits = require_at_most(
        f"{part}, {device.figure} A, limits the feed-through lugs of a busbar of {rating.figure} A", computed=device, limit=rating
    )
    if limits.verdict is Verdict.VIOLATED:
        return does_not_apply(f"the feed-through lugs lie beyond the sources and take up to {device.figure} A, more than the busbar is for")
    verdict = replace(verdict, parts=(limits,))
    item = given.code.provision("feed_through_busbar")
    if given.in_force("feed_through_busbar") and (lugs.at_supply_end or item.flag("device_at_load_end")):
        return verdict
    doubt = (
        "the feed-through lugs are at the same end of the busbar as the sources; whether those then stand at the end opposite the supply "
        f"is not said where the device of the lugs is {part}"
    )
    return replace(
        verdict, verdict=Verdict.CAUTION, message=f"{verdict.message}; the feed-through lugs lie beyond the sources", doubt=doubt
    )
