"""A panel with feed-through lugs: its feed-through conductors follow the feeder rule, and both busbars one of the first methods."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import supply_and_sources_a
from permitgen.rules.busbars import opposite_end_120_percent, sum_of_breakers, sum_of_ratings
from permitgen.rules.judgement import Judgement, Verdict, all_of, any_of, does_not_apply, not_judged, require_at_least, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.busbar_feeds import protecting_rating, source_current
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.feed_through_lugs import feed_through_lugs, what_is_missing
from permitgen.rules.quantities.load_lugs import load_lugs
from permitgen.system.walks.dc_circuits import circuit_at

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.feed_through_lugs import FeedThroughLugs
    from permitgen.system.busbar import Busbar
    from permitgen.system.circuit import Circuit

METHOD = "feed-through conductors"


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge the feed-through conductors and the busbars on either side of them.

    The words of the code, read alone, would limit no busbar, so each busbar is also held to one of the first three methods,
    unless the jurisdiction reads them alone (``feed_through_busbar_alone: yes``).
    """
    if not busbar.has_feed_through_lugs:
        lugs = load_lugs(given, busbar)
        leaves = f"; {lugs.words}" if lugs is not None else ""
        return does_not_apply(f"no feed-through lugs are stated{leaves}")
    if not given.in_force("feed_through_busbar"):
        return replace(does_not_apply(given.code.provision("feed_through_busbar").citation), method=METHOD)
    provision = given.provision("feed_through_busbar")
    circuit = circuit_at(given.system, busbar.tag, "feed_through")
    through = feed_through_lugs(given, busbar)
    if circuit is None or through is None:
        return replace(not_judged(what_is_missing(busbar)), method=METHOD).under(provision)
    parts = parts_of(lambda: _conductors(busbar, circuit, through, given))
    if given.option("feed_through_busbar_alone", "no") != "yes":
        parts += parts_for(_both_busbars(busbar, circuit, given), lambda bus: _first_methods(bus, given))
    verdict = all_of("feed-through conductors and both busbars", parts)
    return replace(verdict, method=METHOD).under(provision)


def _conductors(busbar: Busbar, circuit: Circuit, lugs: FeedThroughLugs, given: Given) -> Judgement:
    provision = given.provision("feed_through_busbar")
    total = supply_and_sources_a.derive(
        protecting_a=protecting_rating(given, busbar),
        source_factor=provision.value("source_factor"),
        sources_a=source_current(given, busbar),
        provision=provision,
    )
    ampacity = conductor_ampacity(given, circuit).final_a
    message = f"{circuit.tag} carries {ampacity.number:.4g} A, device and sources together {total.figure} A"
    methods = [require_at_least(message, computed=ampacity, limit=total)]
    if lugs.device is not None:
        part = lugs.device.link.part
        rating = given.need(lugs.device.device.rating_a, f"rating of {part}")
        text = f"{part}, {rating.figure} A, protects {circuit.tag}, which carries {ampacity.number:.4g} A"
        methods.append(require_at_most(text, computed=rating, limit=ampacity))
    return any_of("feed-through conductors", methods)


def _both_busbars(busbar: Busbar, circuit: Circuit, given: Given) -> list[Busbar]:
    far = circuit.finish if circuit.start.tag == busbar.tag else circuit.start
    other = given.system.busbars.get(far.tag)
    return [busbar] if other is None else [busbar, other]


def _first_methods(busbar: Busbar, given: Given) -> Judgement:
    methods = parts_for((sum_of_ratings, opposite_end_120_percent, sum_of_breakers), lambda method: method.judge(busbar, given))
    verdict = any_of(f"busbar of {busbar.tag}", methods)
    return verdict if verdict.verdict is not Verdict.DOES_NOT_APPLY else replace(verdict, verdict=Verdict.VIOLATED)
