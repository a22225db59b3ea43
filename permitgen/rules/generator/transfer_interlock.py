"""Generator and utility are never connected to each other: no mode closes a way between them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.graph import closed_in

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator
    from permitgen.system.operating_mode import OperatingMode


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
    joined = [mode for mode in given.system.modes if _way(machine, mode, given)]
    if not joined:
        return require(fact=True, message=f"{machine.tag} and the utility are never connected in the same mode")
    way = " - ".join(_way(machine, joined[0], given))
    names = ", ".join(str(mode) for mode in joined)
    return require(fact=False, message=f"{machine.tag} is connected to the utility ({names}) by {way}")


def _way(machine: Generator, mode: OperatingMode, given: Given) -> list[str]:
    """Return the parts on a closed way from the machine to the utility, empty where there is none."""
    system = given.system
    reached = system.graph.reach([f"{machine.tag}.windings"], closed_in(mode))
    utility = next((node for node in system.utility_nodes if node in reached), None)
    if utility is None:
        return []
    return list(dict.fromkeys(link.circuit or link.part for link in reversed(system.graph.path_back(reached, utility))))
