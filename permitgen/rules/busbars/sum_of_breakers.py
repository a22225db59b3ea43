"""Sum of all overcurrent devices on the busbar, load and supply, without the one that protects it, within its rating."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import busbar_limit_a, least_sum_of_breakers_a
from permitgen.code.standard_sizes import standard_ratings_a
from permitgen.rules.busbars.feeder_method import loads_within
from permitgen.rules.busbars.protected_from_utility import protected_from_utility
from permitgen.rules.judgement import Judgement, Verdict, all_of, not_judged, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.busbar_feeds import devices_on_busbar, has_breakers_outside_file, links_on_busbar
from permitgen.rules.quantities.busbar_loads import ways_to_loads
from permitgen.rules.quantities.feed_through_lugs import feed_through_lugs, what_is_missing
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.feed_through_lugs import FeedThroughLugs
    from permitgen.system.busbar import Busbar

METHOD = "sum of breakers"


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge the sum of devices, and the device that protects the busbar.

    The autotransformer's device counts unless the jurisdiction reads it otherwise (strict by default). Breakers that the file
    does not show as circuits would escape the sum, so a panel must say that all are in the file, or what all come to. What feed-through
    lugs take is limited by the first devices beyond them: those count as if they stood on the busbar. Where loads stand beside the load
    lugs of an interconnect device, they and the device beyond the lugs are also together within the busbar.
    """
    provision = given.provision("sum_of_breakers")
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    counts_former = given.option("sum_of_breakers_counts_autotransformer", "yes") != "no"
    if (beyond_all := _known_alone(given, busbar, rating, counts_former=counts_former)) is not None:
        return replace(beyond_all, method=METHOD).under(provision)
    devices = [d for d in devices_on_busbar(given, busbar) if counts_former or "autotransformer" not in d.part]
    terms = [device.rating_a.named(f"OCPD_{_short(device.part)}", f"rating of the breaker or fuse at {device.part}") for device in devices]
    title = f"sum of the overcurrent devices on the busbar of {busbar.tag}, without its supply"
    shown = sum_of(terms, symbol="ΣOCPD", title=title, provision=provision, unit="a")
    stated = given.system.equipment[busbar.tag].fact("all_breakers_but_main")
    own = shown if stated is None or stated.number < shown.number else stated.named("ΣOCPD", title)
    lugs = feed_through_lugs(given, busbar)
    if lugs is None and busbar.has_feed_through_lugs:
        return replace(not_judged(what_is_missing(busbar)), method=METHOD).under(provision)
    beyond = _beyond(given, lugs) if lugs is not None else []
    here = terms if own is shown else [own]
    total = sum_of([*here, *beyond], symbol="ΣOCPD", title=title, provision=provision) if beyond else own
    limit = busbar_limit_a.derive(busbar_factor=provision.value("busbar_factor"), rating_a=rating, provision=provision)
    message = f"breakers and fuses of {total.figure} A together on a busbar of {rating.figure} A"
    summed = require_at_most(message, computed=total, limit=limit)
    known = (stated is not None or has_breakers_outside_file(given, busbar) is False) and (lugs is None or lugs.shows_all)
    first = summed if known or summed.verdict is not Verdict.PASSES else _with_others(given, busbar, summed, limit)
    lugs_beside = parts_of(lambda: loads_within(busbar, given) if _has_load_lugs(busbar, given) else None)
    parts = [first, *lugs_beside, *parts_of(lambda: protected_from_utility(busbar, given))]
    verdict = all_of(message, parts)
    told = verdict if verdict.verdict is not Verdict.PASSES else replace(summed, parts=tuple(parts))
    return replace(told, method=METHOD).under(provision)


def _has_load_lugs(busbar: Busbar, given: Given) -> bool:
    """Whether load terminals without a device leave the busbar: what they take stands in no device on it."""
    return any(link.device is None and link.part.endswith("load terminals") for link in ways_to_loads(given, busbar))


def _known_alone(given: Given, busbar: Busbar, rating: Value, *, counts_former: bool) -> Judgement | None:
    """Where nobody knows the rating of some, those that are known may exceed the busbar without them; None where they do not."""
    on_busbar = [(link, device) for link, device in links_on_busbar(given, busbar) if counts_former or "autotransformer" not in link.part]
    terms = [device.rating_a.named(f"OCPD_{_short(link.part)}") for link, device in on_busbar if device.rating_a is not None]
    if len(terms) == len(on_busbar):
        return None
    provision = given.provision("sum_of_breakers")
    title = f"sum of the overcurrent devices on the busbar of {busbar.tag} whose rating is known, without its supply"
    shown = sum_of(terms, symbol="ΣOCPD", title=title, provision=provision, unit="a")
    limit = busbar_limit_a.derive(busbar_factor=provision.value("busbar_factor"), rating_a=rating, provision=provision)
    message = f"breakers and fuses of at least {shown.figure} A together on a busbar of {rating.figure} A"
    judged = require_at_most(message, computed=shown, limit=limit)
    return judged if judged.verdict is Verdict.VIOLATED else None


def _beyond(given: Given, lugs: FeedThroughLugs) -> list[Value]:
    """The ratings of the first devices beyond feed-through lugs."""
    found = [(each.link.part, each.device.rating_a) for each in lugs.devices]
    stated = [(part, given.need(rating, f"rating of the breaker or fuse at {part}")) for part, rating in found]
    return [rating.named(f"OCPD_{_short(part)}", f"rating of {part}, beyond the feed-through lugs") for part, rating in stated]


def _with_others(given: Given, busbar: Busbar, summed: Judgement, limit: Value) -> Judgement:
    """The breakers that the file does not show count with the least they can have; what passes even so is open."""
    assert summed.computed is not None  # noqa: S101 - it was compared
    least = _least_sum(given, busbar, summed.computed)
    beyond = require_at_most(f"breakers and fuses of at least {least.figure} A together: {summed.message}", computed=least, limit=limit)
    return beyond if beyond.verdict is Verdict.VIOLATED else not_judged(f"ratings of all breakers in {busbar.tag}")


def _least_sum(given: Given, busbar: Busbar, shown: Value) -> Value:
    """Return the least that all breakers can come to, A: those in the file, and the smallest made for each two poles that others use."""
    poles = given.system.equipment[busbar.tag].fact("poles_in_use")
    if poles is None:
        return shown
    smallest = Value(min(standard_ratings_a(given.code)), "a", FromSystem("smallest standard rating"), "OCPD_min", "smallest breaker made")
    return least_sum_of_breakers_a.derive(
        shown_a=shown, poles_count=poles, smallest_a=smallest, provision=given.provision("sum_of_breakers")
    )


def _short(part: str) -> str:
    return part.split(" at ", maxsplit=1)[0].replace(" relay ", ".").replace(" ", "_")
