"""While the generator runs, no PV, storage or vehicle feeds its busbar, unless listed to run beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator


@rule(
    "generator-not-parallel",
    title="While the generator runs, no PV, storage or vehicle feeds its busbar, unless listed to run beside it",
    provision="listed_and_instructed",
    judges="generator",
)
def judge(machine: Generator, given: Given) -> Judgement:
    """Judge what is connected to a generator in generator mode.

    Requires: PV, storage and vehicles are disconnected in generator mode, or machine or interconnect device is listed for parallel.
    Why: a small generator cannot take power back; its voltage and speed run away.
    Applies to: generators with other sources on the premises.
    Example that fails: PV on the panel that the generator feeds through a transfer switch.
    Example that passes: an interconnect device whose PV relay is open in generator mode.
    """
    others = [s for s in given.system.sources.values() if s.is_ac and s.kind in ("photovoltaic", "energy storage", "vehicle")]
    if not others:
        return does_not_apply(f"{machine.tag}: there is no other source on the premises")
    reached = given.system.graph.reach([f"{machine.tag}.windings"], closed_in(OperatingMode.ON_GENERATOR))
    beside = list(dict.fromkeys(s.tag for s in others if s.node in reached))
    if not beside:
        return require(fact=True, message=f"{machine.tag}: every other source is disconnected while it runs")
    listed = _listed(machine, given)
    names = " and ".join(beside)
    message = f"{machine.tag}: {names} stays connected while it runs, {'' if listed else 'not '}listed for it"
    return require(listed, message, missing=f"whether {machine.tag} is listed to run in parallel with {names}")


def _listed(machine: Generator, given: Given) -> bool | None:
    answers = [machine.answer("in_parallel_listed")]
    answers += [item.answer("generator_in_parallel_listed") for item in given.system.equipment.values()]
    return True if True in answers else False if False in answers else None
