"""Three conductors of one size may jam where the raceway is about three times as wide as one of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.raceway_fill import jam_ratio_factor
from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, require_at_least, require_at_most
from permitgen.rules.quantities.raceway_contents import groups_in
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway

_THREE = 3


@rule(
    "conduit-jam",
    title="Three conductors of one size may jam where the raceway is about three times as wide as one of them",
    provision="jam_ratio",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the ratio of the raceway's inside diameter to the conductors' outside diameter; the code only informs.

    Requires: a ratio below 2.8 or above 3.2.
    Why: in a bend three such conductors line up side by side and wedge.
    Applies to: raceways that hold three equal conductors as their largest ones.
    Example that fails: three 3 AWG THWN-2 in 1 in EMT, 1.049 in over 0.352 in, ratio 2.98.
    Example that passes: three 6 AWG THWN-2 in 1 in EMT, ratio 4.1.
    """
    if not raceway.is_conduit:
        return does_not_apply(f"{raceway.tag}: {raceway.kind} is not filled")
    groups = [group for group in groups_in(given, raceway) if group.diameter_in is not None]
    widest = max((g.diameter_in.number for g in groups if g.diameter_in is not None), default=0.0)
    largest = [group for group in groups if group.diameter_in is not None and group.diameter_in.number == widest]
    if sum(group.count for group in largest) != _THREE or largest[0].diameter_in is None:
        return does_not_apply(f"{raceway.tag} does not hold three equal conductors as its largest")
    provision = given.provision("jam_ratio")
    trade_size = given.need(raceway.trade_size, f"trade size of {raceway.tag}")
    ratio = jam_ratio_factor.derive(
        internal_diameter_in=given.table("raceway_dimensions").at((raceway.kind, trade_size), "internal_diameter"),
        conductor_diameter_in=largest[0].diameter_in,
        provision=provision,
    )
    low, high = provision.value("from_factor"), provision.value("to_factor")
    if ratio.number < low.number:
        return require_at_most(f"{raceway.tag}: jam ratio {ratio.number:.2f}, below {low.figure}", computed=ratio, limit=low)
    message = f"{raceway.tag}: jam ratio {ratio.number:.2f}, jams between {low.figure} and {high.figure}"
    return require_at_least(message, computed=ratio, limit=high, otherwise=Verdict.CAUTION)
