"""Each source comes to the interconnect device on a terminal made for it, never on a breaker position of its busbar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.walks.island import Arrival, arrivals

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import InstalledSource
    from permitgen.system.power_source import PowerSource


@rule(
    "source-landing",
    title="Each source comes to the interconnect device on a terminal made for it, never on a breaker position of its busbar",
    provision="island_source_landing",
    judges="source",
)
def judge(subject: InstalledSource, given: Given) -> Judgement:
    """Judge every way by which one source arrives at an interconnect device.

    Requires: a source terminal that accepts the kind of source, and so its relay; no breaker position.
    Why: a source that goes round its relay runs with the utility and fails the island and the shutdown.
    Applies to: sources that reach the busbar of an interconnect device; one on a panel behind it, or ahead of it, is cautioned.
    Example that fails: a battery's conductors on a breaker of the internal busbar.
    Example that passes: the same on the storage terminal.
    """
    source = subject.source
    if not source.is_ac:
        return does_not_apply(f"{source.id} supplies direct current")
    found = arrivals(given.system, source)
    if not found:
        return does_not_apply(f"{source.id} reaches no interconnect device")
    return all_of(f"{source.id} lands on its terminal", [_one(source, arrival, given) for arrival in found])


def _one(source: PowerSource, arrival: Arrival, given: Given) -> Judgement:
    tag = arrival.device.tag
    if arrival.kind == "source terminal":
        accepts = arrival.device.terminals[arrival.terminal].accepts
        fits = accepts in (source.kind, "any source")
        message = f"{source.id} lands on terminal {arrival.terminal} of {tag}, made for {accepts}"
        return require(fits, message if fits else f"{message}, not for {source.kind}")
    if arrival.kind == "breaker position":
        return require(
            fact=False, message=f"{source.id} lands on the busbar of {tag} ({arrival.part}), past every source terminal and its relay"
        )
    if arrival.kind == "utility side":
        dark = "loses power when the house islands" if not source.forms_island else "is on the utility's side of the contactor"
        return require(fact=False, message=f"{source.id} joins ahead of {tag} and {dark}", otherwise=Verdict.CAUTION)
    status = given.system.equipment[source.tag].status
    what = "an existing source" if status == "existing" else "a source"
    message = f"{source.id}, {what} behind the load terminals of {tag}, has no relay there: only its own inverter follows the island"
    return require(fact=False, message=message, otherwise=Verdict.CAUTION)
