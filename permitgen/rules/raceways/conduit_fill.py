"""Conductors fill no more of a raceway than its table permits."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Remedy, does_not_apply, require_at_most
from permitgen.rules.quantities.raceway_contents import raceway_contents
from permitgen.rules.rule import rule
from permitgen.values.trade_size import TRADE_SIZES

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway
    from permitgen.system.system import System

_TRIED = 4


@rule(
    "conduit-fill",
    title="Conductors fill no more of a raceway than its table permits",
    provision="conduit_fill",
    judges="raceway",
    sizes=("raceway",),
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the sum of the areas of all conductors against the permitted share of the raceway.

    Requires: sum of conductor areas ≤ permitted share × total area; 60 percent in a nipple of 24 in or less.
    Why: conductors pulled into a crowded raceway are damaged and cannot shed heat.
    Applies to: raceways; not to cables or conductors in free air. A cable in a raceway counts as one conductor.
    Example that fails: four 6 AWG and one 10 AWG THWN-2 in 3/4 in EMT, 0.224 in² in 0.213 in².
    Example that passes: three 6 AWG and one 10 AWG THWN-2 in 3/4 in EMT, 0.173 in² in 0.213 in².
    """
    if not raceway.is_conduit:
        return does_not_apply(f"{raceway.tag}: {raceway.kind} is not filled")
    contents = raceway_contents(given, raceway)
    if contents is None:
        return does_not_apply(f"{raceway.tag} holds no conductors")
    area, permitted = contents.area_in2, contents.permitted_in2
    kind = f"{raceway.trade_size} in {raceway.kind}"
    estimated = ", the diameter of PV wire estimated" if contents.is_estimate else ""
    next_size = TRADE_SIZES.index(raceway.trade_size or "1/2") + 1
    return require_at_most(
        f"{raceway.tag}: {area.number:.4g} in² of conductors in {kind}, {permitted.number:.3g} in² permitted{estimated}",
        computed=area,
        limit=permitted,
        remedies=tuple(_larger(raceway, size) for size in TRADE_SIZES[next_size : next_size + _TRIED]),
        places=(raceway.trade_size_at,) if raceway.trade_size_at else (),
        doubt=given.provision("pv_wire_diameter_estimate").doubt if contents.is_estimate else "",
    )


def _larger(raceway: Raceway, size: str) -> Remedy:
    def change(system: System) -> System:
        return system.with_raceway(replace(raceway, trade_size=size))

    return Remedy(f"{size} in {raceway.kind} for {raceway.tag}", change)
