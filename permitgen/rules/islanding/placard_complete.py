"""The steps of the directory placard make every load conductor dead and part every source from the utility."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, not_judged, require
from permitgen.rules.rule import rule
from permitgen.system.panel_rows import shows_all_breakers
from permitgen.system.walks.isolation import busbars_ahead_of_service, possibly_live, shutdown_steps
from permitgen.system.walks.sources_only import is_distribution

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Whole
    from permitgen.system.system import System


@rule(
    "placard-complete",
    title="The steps of the directory placard make every load conductor dead and part every source from the utility",
    provision="placard_complete",
    judges="system",
)
def judge(subject: Whole, given: Given) -> Judgement:  # noqa: ARG001 - the whole system is the subject
    """Judge the switching steps by walking the graph with every step's handle open.

    Requires: after the last step no source reaches a load in any mode, and none but the utility is joined to it; the place of every
    handle is stated; where a panel has no main, every breaker of it is shown, since each is a service disconnect.
    Why: a firefighter who follows the placard must find the house dead, and no inverter exporting ahead of the open main.
    Applies to: every project.
    Example that fails: a battery without any switch or breaker between it and the backup panel; an inverter tapped ahead of the main
    through splices alone.
    Example that passes: a shutdown switch that stops PV and battery, the generator's stop, the service disconnect.
    """
    shutdown = given.once_for_topology(("shutdown steps",), lambda: shutdown_steps(given.system))
    if not shutdown.steps:
        return require(fact=False, message="no handle de-energizes this house")
    if shutdown.still_live:
        live = possibly_live(given.system, (handle.id for handle in shutdown.steps))
        sources = " and ".join(dict.fromkeys(live[node].tag for node in shutdown.still_live))
        tags = ", ".join(dict.fromkeys(node.split(".", maxsplit=1)[0] for node in shutdown.still_live))
        return require(fact=False, message=f"after the last step {tags} may still be live from {sources}")
    names = ", ".join(handle.id for handle in shutdown.steps)
    if shutdown.still_on_utility:
        joined = " and ".join(dict.fromkeys(source.tag for source in shutdown.still_on_utility))
        return require(fact=False, message=f"{names}: after the last step {joined} may still feed the utility")
    done = require(fact=True, message=f"{names}: after the last step no load conductor is live, no source on the utility")
    untold = (f"whether the file shows every breaker of {tag}, each of which is a service disconnect" for tag in _untold(given.system))
    unplaced = [handle.id for handle in shutdown.steps if handle.place is None or not handle.place.description]
    parts = [done, *map(not_judged, untold), *(not_judged(f"where {id_} is located") for id_ in unplaced)]
    judgement = all_of(done.message, parts)
    return replace(judgement, parts=tuple(parts))


def _untold(system: System) -> list[str]:
    """Return the panels without a main ahead of their breakers of which nobody says that the file shows all of these."""
    ahead = (tag for tag in busbars_ahead_of_service(system) if is_distribution(system, system.equipment[tag]))
    return [tag for tag in ahead if not shows_all_breakers(system, tag)]
