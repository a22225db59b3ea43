"""While the generator runs, no PV, storage or vehicle feeds its busbar, unless listed to run beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require
from permitgen.rules.rule import rule
from permitgen.system.graph import perhaps_closed_in, surely_closed_in
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource


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
    surely = _beside(machine, others, surely_closed_in(OperatingMode.ON_GENERATOR), given)
    perhaps = _beside(machine, others, perhaps_closed_in(OperatingMode.ON_GENERATOR), given)
    if not perhaps:
        return require(fact=True, message=f"{machine.tag}: every other source is disconnected while it runs")
    is_listed = _listed(machine, given)
    if not surely and not is_listed:
        relays = _unsaid(machine, perhaps, given)
        parts = [not_judged(f"in which modes the relay at {relay} is closed") for relay in relays]
        return all_of(f"{machine.tag}: every other source is disconnected while it runs", parts)
    beside = list(dict.fromkeys(source.tag for source in surely or perhaps))
    names, stay = listed(beside), "stays" if len(beside) == 1 else "stay"
    message = f"{machine.tag}: {names} {stay} connected while it runs, {'' if is_listed else 'not '}listed for it"
    return require(is_listed, message, missing=f"whether {machine.tag} is listed to run in parallel with {names}")


def _beside(machine: Generator, others: Sequence[PowerSource], passes: Callable[[Link], bool], given: Given) -> list[PowerSource]:
    reached = given.system.graph.reach([f"{machine.tag}.windings"], passes)
    return [source for source in others if source.node in reached]


def _unsaid(machine: Generator, beside: Sequence[PowerSource], given: Given) -> list[str]:
    """Return the relays on the ways to the sources of which nobody says whether they open."""
    graph, mode = given.system.graph, OperatingMode.ON_GENERATOR
    reached = graph.reach([f"{machine.tag}.windings"], perhaps_closed_in(mode))
    ways = (graph.path_back(reached, source.node) for source in beside)
    return list(dict.fromkeys(link.switch for way in ways for link in reversed(way) if mode in link.unsaid_in))


def _listed(machine: Generator, given: Given) -> bool | None:
    answers = [machine.answer("in_parallel_listed")]
    answers += [item.answer("generator_in_parallel_listed") for item in given.system.equipment.values()]
    return True if True in answers else False if False in answers else None
