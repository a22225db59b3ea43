"""While the generator runs, no PV, storage or vehicle feeds its busbar, unless listed to run beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.quantities.load_backup import may_run_beside_others
from permitgen.rules.quantities.unsaid_relays import not_judged_for_relays
from permitgen.rules.rule import rule
from permitgen.system.graph import perhaps_closed_in, surely_closed_in
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator
    from permitgen.system.power_source import PowerSource

_MODE = OperatingMode.ON_GENERATOR


@rule(
    "generator-not-parallel",
    title="While the generator runs, no PV, storage or vehicle feeds its busbar, unless listed to run beside it",
    provision="listed_and_instructed",
    judges="generator",
)
def judge(machine: Generator, given: Given) -> Judgement:
    """Judge what is connected to a generator in generator mode.

    Requires: PV, storage and vehicles are disconnected in generator mode, or machine or interconnect device is listed for parallel.
        That the relay of a source opens is the maker's to say: where nobody does, nothing is taken for granted.
    Why: a small generator cannot take power back; its voltage and speed run away.
    Applies to: generators with other sources on the premises.
    Example that fails: PV on the panel that the generator feeds through a transfer switch.
    Example that passes: an interconnect device whose PV relay is open in generator mode.
    """
    others = [s for s in given.system.sources.values() if s.is_ac and s.kind in ("photovoltaic", "energy storage", "vehicle")]
    if not others:
        return does_not_apply(f"{machine.tag}: there is no other source on the premises")
    graph, start = given.system.graph, [f"{machine.tag}.windings"]
    surely = _among(others, graph.reach(start, surely_closed_in(_MODE)))
    reached = graph.reach(start, perhaps_closed_in(_MODE))
    perhaps = _among(others, reached)
    if not perhaps:
        return require(fact=True, message=f"{machine.tag}: every other source is disconnected while it runs")
    is_listed = may_run_beside_others(given, [machine])
    if not surely and not is_listed:
        ways = ((_MODE, reversed(graph.path_back(reached, source.node))) for source in perhaps)
        return all_of(f"{machine.tag}: every other source is disconnected while it runs", not_judged_for_relays(ways))
    beside = list(dict.fromkeys(source.tag for source in surely or perhaps))
    names, stay = listed(beside), "stays" if len(beside) == 1 else "stay"
    message = f"{machine.tag}: {names} {stay} connected while it runs, {'' if is_listed else 'not '}listed for it"
    return require(is_listed, message, missing=f"whether {machine.tag} is listed to run in parallel with {names}")


def _among(sources: Sequence[PowerSource], reached: Collection[str]) -> list[PowerSource]:
    return [source for source in sources if source.node in reached]
