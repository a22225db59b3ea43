"""Raceways are of a trade size that their kind is made in for general use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, at_most, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.values.trade_size import trade_size_in

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway

_FLEXIBLE = frozenset({"LFMC", "LFNC-B", "FMC"})


@rule(
    "conduit-size-limits",
    title="Raceways are of a trade size that their kind is made in for general use",
    provision="conduit_size_limits",
    judges="raceway",
    sizes=("raceway",),
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the trade size of one raceway.

    Requires: 1/2 in or larger; flexible conduit of 3/8 in only in whips of 6 ft or less; no size that the tables do not have.
    Why: what is smaller crushes and kinks; what is larger is not made.
    Applies to: raceways.
    Example that fails: 10 ft of 3/8 in liquidtight flexible metal conduit.
    Example that passes: 6 ft of it.
    """
    if not raceway.is_conduit:
        return does_not_apply(f"{raceway.tag}: {raceway.kind} has no trade size")
    size = given.need(raceway.trade_size, f"trade size of {raceway.tag}")
    provision = given.provision("conduit_size_limits")
    if size not in given.table("raceway_dimensions").rows_of(raceway.kind):
        return require(fact=False, message=f"{raceway.tag}: {raceway.kind} is not made in {size} in")
    if trade_size_in(size) >= trade_size_in(provision.text("smallest_trade_size")):
        return require(fact=True, message=f"{raceway.tag}: {size} in {raceway.kind}")
    length = given.need(raceway.length_ft, f"length of {raceway.tag}")
    is_whip = raceway.kind in _FLEXIBLE and at_most(length, provision.value("whip_ft"))
    return require(is_whip, f"{raceway.tag}: {length.length} of {size} in {raceway.kind}")
