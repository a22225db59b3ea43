"""A busbar that power sources feed is protected by one of the permitted methods.

The code gives several ways; one suffices. Each has its file beside this one: the sum of ratings, the 120 percent rule with
sources at the opposite end, the sum of all overcurrent devices, center-fed panels.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.busbars import center_fed, listed_limits, opposite_end_120_percent, sum_of_breakers, sum_of_ratings
from permitgen.rules.judgement import Judgement, any_of, does_not_apply
from permitgen.rules.quantities.busbar_feeds import feeds_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar

METHODS = (sum_of_ratings.judge, opposite_end_120_percent.judge, sum_of_breakers.judge, center_fed.judge, listed_limits.judge)


@rule("busbar-sources", provision="sources_on_busbar", judges="busbar")
def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge one busbar with every method; the requirement holds when one method holds.

    Requires: one of the permitted methods of connecting sources to a busbar is met.
    Why: with utility and sources feeding it together, a busbar can carry more than any one device would let through.
    Applies to: every busbar that a source can reach from its load side while the utility is present.
    Example that fails: 200 A busbar, 200 A main, 33.3 A of sources at the opposite end: 241.6 A on 240 A.
    Example that passes: 200 A busbar, 200 A main, 32 A of sources at the opposite end: 240 A on 240 A.
    """
    feeds = feeds_of(given, busbar)
    if feeds.supply is None:
        return does_not_apply(f"{busbar.tag}: the utility does not feed this busbar")
    if not feeds.sources:
        return does_not_apply(f"{busbar.tag}: no source reaches this busbar from its load side")
    return any_of(f"{busbar.tag}: sources on the busbar", [method(busbar, given) for method in METHODS])
