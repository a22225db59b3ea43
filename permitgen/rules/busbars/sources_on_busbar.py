"""A busbar that power sources feed is protected by one of the permitted methods.

The code gives several ways; one suffices. Each has its file beside this one: the sum of ratings, the 120 percent rule with
sources at the opposite end, the sum of all overcurrent devices, center-fed panels, engineered busbars, feed-through
conductors, a listed power control system, and the limits of a listing.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.busbars import (
    center_fed,
    engineered,
    feed_through,
    feeder_method,
    listed_limits,
    opposite_end_120_percent,
    power_control,
    sum_of_breakers,
    sum_of_ratings,
)
from permitgen.rules.busbars.remedies import remedies_for
from permitgen.rules.judgement import Judgement, Verdict, any_of, does_not_apply
from permitgen.rules.quantities.busbar_feeds import feeds_of
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar

OPTION = "interconnect_device_in_feeder"
BUSBAR, OF_FEEDER = "busbar", "part of the feeder"
# What is violated stands over what is not judged, and that over what holds.
_STRICTNESS = (Verdict.VIOLATED, Verdict.NOT_JUDGED, Verdict.CAUTION, Verdict.PASSES, Verdict.DOES_NOT_APPLY)

METHODS = (
    sum_of_ratings.judge,
    opposite_end_120_percent.judge,
    sum_of_breakers.judge,
    center_fed.judge,
    power_control.judge,
    feed_through.judge,
    engineered.judge,
    listed_limits.judge,
)


@rule(
    "busbar-sources",
    title="A busbar that power sources feed is protected by one of the permitted methods",
    provision="sources_on_busbar",
    judges="busbar",
)
def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge one busbar with every method; the requirement holds when one method holds.

    Requires: one of the permitted methods of connecting sources to a busbar is met, and no source under power control comes in over
        a device above the busbar's rating.
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
    if feeds.protected_by is None and given.system.equipment[busbar.tag].answer("main_lugs_only"):
        return does_not_apply(f"{busbar.tag}: its lugs are ahead of the service disconnect; the rules for the supply side apply")
    verdict = any_of(f"{busbar.tag}: sources on the busbar", [method(busbar, given) for method in METHODS])
    listing = listed_limits.judge(busbar, given)
    if listing.verdict is Verdict.VIOLATED or listing.holds:
        verdict = replace(listing, message=f"{busbar.tag}: {listing.message}", parts=(*listing.parts, *verdict.parts))
    elif listing.verdict is Verdict.DOES_NOT_APPLY and isinstance(given.system.equipment[busbar.tag], MicrogridInterconnectDevice):
        verdict = _as_feeder_too(busbar, given, verdict)
    too_large = [part for part in power_control.single_devices(busbar, given) if part.verdict is Verdict.VIOLATED]
    if too_large and verdict.verdict is not Verdict.VIOLATED:
        verdict = replace(too_large[0], message=f"{busbar.tag}: {too_large[0].message}", parts=(*too_large, *verdict.parts))
    return replace(verdict, remedies=remedies_for(busbar, given)) if verdict.verdict is Verdict.VIOLATED else verdict


def _as_feeder_too(busbar: Busbar, given: Given, by_busbar: Judgement) -> Judgement:
    """Judge an interconnect device as a busbar, and what leaves it toward loads by the feeder rule: the stricter verdict stands.

    The methods for busbars count nothing that lugs without a device take from the busbar, so the feeder rule is asked beside them. Whether
    a device in a feeder is a part of that feeder alone is disputed: the authority may read it so. Service equipment is in no feeder.
    """
    by_feeder = feeder_method.judge(busbar, given)
    parts = (*by_busbar.parts, by_feeder)
    if by_feeder.verdict is Verdict.DOES_NOT_APPLY:
        return replace(by_busbar, parts=parts)
    if busbar.tag not in service_side(given).enclosures and given.option(OPTION, BUSBAR) == OF_FEEDER:
        return replace(by_feeder, message=f"{busbar.tag}: {by_feeder.message}", parts=parts)
    if _STRICTNESS.index(by_feeder.verdict) < _STRICTNESS.index(by_busbar.verdict):
        return replace(by_feeder, message=f"{busbar.tag}: {by_feeder.message}", parts=parts)
    return replace(by_busbar, parts=parts)
