"""The service carries the calculated load of the dwelling, by one of the permitted methods.

The capacity is the rating of the service disconnects or the ampacity of the service conductors, whichever is less: the 83 percent
rule permits a smaller conductor against the rating, not against the load.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, does_not_apply, not_judged
from permitgen.rules.loads.methods import judge_methods
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.load_scope import LoadScope, scope_on
from permitgen.rules.quantities.service_disconnects import circuits_landing_at, service_side
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.equation import selected, sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utility_service import UtilityService
    from permitgen.values.value import Value


@rule("service-capacity", provision="service_conductor_size", judges="utility_service")
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge the calculated load of the dwelling against its service, method by method.

    Requires: calculated load ≤ rating of the service and ampacity of its conductors, by one of the methods.
    Why: an overloaded service trips, or its conductors age faster than anybody sees.
    Applies to: services whose loads the project lists, or to which it adds load.
    Example that fails: 12.96 kW of measured demand and a new 40 A charger on a 100 A service, 107.5 A.
    Example that passes: 16.8 kW of measured demand and a new 48 A charger on a 200 A service, 135.5 A.
    """
    side = service_side(given)
    if not side.of_loads:
        return does_not_apply(f"{service.tag}: no service disconnect")
    scope = whole_scope(given, service)
    if not scope.loads and given.system.site.measured_demand is None:
        if scope.charging:
            return not_judged("loads of the dwelling, to which storage adds its charging current")
        return does_not_apply(f"{service.tag}: the project lists no loads and adds none")
    limit = service_limit(given)
    return any_of(f"{service.tag}: calculated load of the dwelling", judge_methods(given, scope, limit))


def whole_scope(given: Given, service: UtilityService) -> LoadScope:
    """Return every load that the service can feed.

    Raises:
        MissingFactError: the power of a load is not stated.
    """
    start = f"{service.tag}.service_point"
    nodes = given.system.graph.reach([start], lambda link: OperatingMode.WITH_UTILITY in link.closed_in and not link.is_converter)
    return scope_on(given, set(nodes), "the dwelling")


def service_limit(given: Given) -> Value:
    """Return the smaller of the ratings of the service disconnects and the ampacity of the service conductors, A.

    Raises:
        MissingFactError: a rating, or what the ampacity rests on, is not stated.
    """
    return given.once("service limit", lambda: _limit(given))


def _limit(given: Given) -> Value:
    found: list[Value] = []
    for tag in service_side(given).enclosures:
        ratings = [given.need(d.rating_a, f"rating of {d.handle}") for d in service_side(given).of_loads if d.enclosure == tag]
        rating = sum_of([r.named("I") for r in ratings], symbol=f"I_{tag}", title=f"service disconnects in {tag}", unit="a")
        ampacities = [conductor_ampacity(given, circuit).final_a for circuit in circuits_landing_at(given, tag)]
        smallest = min([rating, *ampacities], key=lambda value: value.number)
        title = f"capacity of the service at {tag}"
        found.append(selected(smallest.number, "a", by="smaller of", inputs=(rating, *ampacities), symbol=f"I_{tag}", title=title))
    return found[0] if len(found) == 1 else sum_of(found, symbol="I_service", title="capacity of the service")
