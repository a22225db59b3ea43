"""A building has one service; a further one needs a reason that the code knows.

Power production that runs in parallel, fire pumps, emergency and standby systems, loads beyond what one service is supplied with, and a
supply of another voltage may have a service of their own, and whatever the authority permits in writing, as for several occupancies;
each service location then names the others.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, require, require_at_most
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.quantities.siting_buildings import are_one_structure
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.equipment.utility_service import UtilityService


@rule(
    "service-count",
    title="A building has one service; a further one needs a reason that the code knows",
    provision="service_count",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge how many services supply the building that this one supplies.

    Requires: one service, or a reason of the code for each further one.
    Why: whoever opens the service disconnect of a building believes it to be dead.
    Applies to: services; those of buildings that are structures of their own count apart.
    Example that fails: a second service to the same house for an added dwelling space.
    Example that passes: a second service point that serves nothing but a source connected in parallel.
    """
    services = [item for item in given.system.equipment.values() if item.kind == "utility_service"]
    together = [item for item in services if item is service or supply_one_structure(given, service, item)]
    number = Value(float(len(together)), "count", FromSystem("counted on the graph"), "n", f"services with {service.tag}")
    names = ", ".join(item.tag for item in together)
    limit = given.provision("service_count").value("largest_count")
    alone = require_at_most(f"{service.tag}: {len(together)} service to its building ({names})", computed=number, limit=limit)
    if alone.holds:
        return alone
    return any_of(f"{service.tag}: services {names} to one building", [alone, _reasons(given, together)])


def _reasons(given: Given, together: list[Equipment]) -> Judgement:
    """All services of the building but one have a reason."""
    stated = {item.tag: item.word("reason_for_further_service") for item in together}
    permitted = [tag for tag, reason in stated.items() if reason not in ("", "none")]
    if len(permitted) >= len(together) - 1:
        return require(fact=True, message=", ".join(f"{tag} for {stated[tag]}" for tag in permitted))
    silent = [tag for tag, reason in stated.items() if not reason]
    if len(permitted) + len(silent) >= len(together) - 1:
        given.need(None, f"reason for the further service ({' or '.join(silent)})")
    return require(fact=False, message="no reason of the code for a further service")


def supply_one_structure(given: Given, first: Equipment, second: Equipment) -> bool:
    """Whether two service points supply parts of one structure."""
    return any(are_one_structure(given, a, b) for a in buildings_of_service(given, first) for b in buildings_of_service(given, second))


def buildings_of_service(given: Given, service: Equipment) -> frozenset[str]:
    """Return the buildings whose service disconnects a service point reaches.

    Raises:
        MissingFactError: a service disconnect has no place.
    """
    graph = given.system.graph
    reached = set(graph.reach([f"{service.tag}.service_point"], lambda link: OperatingMode.WITH_UTILITY in link.closed_in))
    disconnects = [d for d in service_side(given).disconnects if {d.link.first, d.link.second} & reached]
    items = [given.system.equipment[d.enclosure] for d in disconnects]
    return frozenset(given.need(item.place, f"place of {item.tag}").building for item in items)
