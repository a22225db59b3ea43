"""The listing of an enclosure that states the supply and the sources its busbar is made for."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.busbars.protected_from_utility import protected_from_utility
from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.busbar_feeds import protecting_rating, source_current

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.values.value import Value


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge supply and sources against the limits that the enclosure is marked with; no mark lifts the rating of the busbar itself."""
    parts = [
        *parts_for(_stated(busbar.listed_supply_a), lambda marked: _supply(busbar, marked, given)),
        *parts_for(_stated(busbar.listed_sources_a), lambda marked: _sources(busbar, marked, given)),
    ]
    message = "supply and sources within the limits of the listing"
    if busbar.listed_supply_a is None or busbar.listed_sources_a is None:
        # A listing that states one of the two permits nothing by itself, and forbids what is beyond it.
        if all(part.verdict is not Verdict.VIOLATED for part in parts):
            return does_not_apply("the listing states no limits for supply and sources together")
        message = "supply or sources within the limit of the listing"
    elif busbar.rating_a is not None:
        parts += parts_of(lambda: protected_from_utility(busbar, given).under(given.provision("panelboard_protection")))
    return replace(all_of(message, parts), method="listed limits").under(given.provision("listed_and_instructed"))


def _stated(limit: Value | None) -> tuple[Value, ...]:
    return (limit,) if limit is not None else ()


def _supply(busbar: Busbar, marked: Value, given: Given) -> Judgement:
    supply = protecting_rating(given, busbar)
    return require_at_most(f"supply device {supply.figure} A within the marked {marked.figure} A", computed=supply, limit=marked)


def _sources(busbar: Busbar, marked: Value, given: Given) -> Judgement:
    sources = source_current(given, busbar)
    return require_at_most(f"sources of {sources.figure} A within the marked {marked.figure} A", computed=sources, limit=marked)
