"""Generator and utility are never connected to each other: no mode closes a way between them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, one_or_all_of, require
from permitgen.rules.quantities.unsaid_relays import not_judged_for_relays
from permitgen.rules.rule import rule
from permitgen.system.graph import closed_in, perhaps_closed_in, surely_closed_in

if TYPE_CHECKING:
    from collections.abc import Callable

    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator
    from permitgen.system.interlock import Interlock
    from permitgen.system.link import Link
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.system import System


@rule(
    "transfer-interlock",
    title="Generator and utility are never connected to each other: no mode closes a way between them",
    provision="transfer_equipment",
    judges="generator",
)
def judge(machine: Generator, given: Given) -> Judgement:
    """Judge every mode for a closed way from a generator to the utility.

    Requires: transfer equipment, an interconnect device or a listed interlock keeps generator and utility apart in every mode.
    Why: a generator on a dead line kills the line worker; on a live one it destroys itself.
    Applies to: every generator.
    Example that fails: a generator on a breaker of the service panel without an interlock.
    Example that passes: the same breaker with a listed interlock, or a transfer switch.
    """
    if not given.system.utility_nodes:
        return does_not_apply(f"{machine.tag}: there is no utility")
    joined = {mode: way for mode in given.system.modes if (way := _way(machine, surely_closed_in(mode), given))}
    if joined:
        by = " - ".join(dict.fromkeys(link.circuit or link.part for link in next(iter(joined.values()))))
        names = ", ".join(str(mode) for mode in joined)
        return require(fact=False, message=f"{machine.tag} is connected to the utility ({names}) by {by}")
    message = f"{machine.tag} and the utility are never connected in the same mode"
    unsaid = not_judged_for_relays((mode, _way(machine, perhaps_closed_in(mode), given)) for mode in given.system.modes)
    if unsaid:
        return all_of(message, unsaid)
    apart = require(fact=True, message=message)
    parts = [apart, *(_listed(each) for each in _keeping_apart(machine, given))]
    return one_or_all_of(apart.message, parts)


def _keeping_apart(machine: Generator, given: Given) -> list[Interlock]:
    """Return the interlocks without which a mode would join the machine and the utility."""
    system = given.system
    interlocks = system.interlocks
    without = {each: replace(system, interlocks=tuple(other for other in interlocks if other is not each)) for each in interlocks}
    return [each for each, changed in without.items() if any(_joins(machine, mode, changed) for mode in system.modes)]


def _joins(machine: Generator, mode: OperatingMode, system: System) -> bool:
    return bool(set(system.utility_nodes) & set(system.graph.reach([f"{machine.tag}.windings"], closed_in(mode))))


def _listed(interlock: Interlock) -> Judgement:
    message = f"{interlock} is {'not ' if interlock.is_listed is False else ''}listed for transfer"
    missing = f"whether the interlock of {' and '.join(interlock.switches)} is listed"
    return require(interlock.is_listed, message, missing=missing, places=(interlock.at,) if interlock.at is not None else ())


def _way(machine: Generator, passes: Callable[[Link], bool], given: Given) -> list[Link]:
    """Return the links on a closed way from the machine to the utility, empty where there is none."""
    system = given.system
    reached = system.graph.reach([f"{machine.tag}.windings"], passes)
    utility = next((node for node in system.utility_nodes if node in reached), None)
    return [] if utility is None else list(reversed(system.graph.path_back(reached, utility)))
