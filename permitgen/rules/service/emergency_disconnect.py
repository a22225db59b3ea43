"""One- and two-family dwellings have an emergency disconnect outside that anybody can reach.

The service disconnect itself may be it, or a meter disconnect or another switch marked as emergency disconnect and as not being
service equipment. The duty comes with new or replaced service equipment.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, one_or_all_of, require
from permitgen.rules.quantities.dwelling_carried import serves_small_dwelling
from permitgen.rules.quantities.emergency_disconnects import emergency_ways
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.emergency_disconnects import EmergencyWay
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.equipment.utility_service import UtilityService


@rule(
    "emergency-disconnect",
    title="One- and two-family dwellings have an emergency disconnect outside that anybody can reach",
    provision="emergency_disconnect",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge whether the service can be cut off outside the dwelling.

    Requires: each service disconnect, or an emergency disconnect on the way to it, outdoors and readily accessible.
    Why: firefighters cannot enter a burning house to switch it off.
    Applies to: services of one- and two-family dwellings whose service equipment is new or replaced.
    Example that fails: new main panel inside the garage, nothing but the meter outside.
    Example that passes: interconnect device with the service disconnect on the outside wall.
    """
    small = serves_small_dwelling(given, service.tag)
    if small is False:
        return does_not_apply(f"{service.tag}: not a one- or two-family dwelling")
    ways = emergency_ways(given, service.tag)
    if not ways:
        return does_not_apply(f"{service.tag}: no service disconnect")
    if all(way.equipment.status == "existing" for way in ways):
        return does_not_apply(f"{service.tag}: the service equipment is existing and stays")
    each = [_of_way(service, way) for way in ways]
    found = one_or_all_of(f"{service.tag}: every service disconnect is or has an emergency disconnect", each)
    return found if small or found.holds else not_judged(f"whether {service.tag} supplies a one- or two-family dwelling")


def _of_way(service: UtilityService, way: EmergencyWay) -> Judgement:
    return any_of(f"{service.tag}: emergency disconnect", [_outside(item) for item in (*way.switches, way.equipment)])


def _outside(item: Equipment) -> Judgement:
    place = item.place
    outdoors = place.outdoors if place is not None else None
    accessible = place.readily_accessible if place is not None else None
    where = "outdoors" if outdoors else "indoors"
    reach = "readily accessible" if accessible else "not readily accessible"
    parts = [
        require(outdoors, f"{item.tag} is {where}", missing=f"whether {item.tag} is outdoors"),
        require(accessible, f"{item.tag} is {reach}", missing=f"whether {item.tag} is readily accessible"),
    ]
    return all_of(f"{item.tag} is {where} and {reach}", parts)
