"""The service carries the calculated load of the dwelling, by one of the permitted methods.

The capacity is the rating of the service disconnects or the ampacity of the service conductors, whichever is less: the 83 percent
rule permits a smaller conductor against the rating, not against the load.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged
from permitgen.rules.loads.methods import judge_load
from permitgen.rules.quantities.load_capacity import service_limit, service_scope
from permitgen.rules.quantities.service_disconnects import enclosures_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utility_service import UtilityService


@rule(
    "service-capacity",
    title="The service carries the calculated load of the dwelling, by one of the permitted methods",
    provision="service_conductor_size",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge the calculated load of the dwelling against its service, method by method.

    Requires: calculated load ≤ rating of the service and ampacity of its conductors, by one of the methods.
    Why: an overloaded service trips, or its conductors age faster than anybody sees.
    Applies to: services whose loads the project lists, or to which it adds load.
    Example that fails: 12.96 kW of measured demand and a new 40 A charger on a 100 A service, 107.5 A.
    Example that passes: 16.8 kW of measured demand and a new 48 A charger on a 200 A service, 135.5 A.
    """
    if not enclosures_of(given, service.tag):
        return does_not_apply(f"{service.tag}: no service disconnect")
    scope = service_scope(given, service.tag)
    if scope.is_empty and given.system.site.measured_demand is None:
        if scope.charging:
            return not_judged("loads of the dwelling, to which storage adds its charging current")
        return does_not_apply(f"{service.tag}: the project lists no loads and adds none")
    limit = service_limit(given, service.tag)
    return judge_load(given, scope, limit, f"{service.tag}: calculated load of the dwelling", behind=service.tag)
