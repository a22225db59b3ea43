"""One- and two-family dwellings have an emergency disconnect outside that anybody can reach.

The service disconnect itself may be it, or a meter disconnect or another switch marked as emergency disconnect and as not being
service equipment. The duty comes with new or replaced service equipment.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, require
from permitgen.rules.quantities.dwelling_carried import serves_small_dwelling
from permitgen.rules.quantities.service_disconnects import reached_from, service_side
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect

if TYPE_CHECKING:
    from permitgen.rules.given import Given
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

    Requires: a service disconnect or an emergency disconnect outdoors, readily accessible.
    Why: firefighters cannot enter a burning house to switch it off.
    Applies to: services of one- and two-family dwellings whose service equipment is new or replaced.
    Example that fails: new main panel inside the garage, nothing but the meter outside.
    Example that passes: interconnect device with the service disconnect on the outside wall.
    """
    small = serves_small_dwelling(given, service.tag)
    if small is False:
        return does_not_apply(f"{service.tag}: not a one- or two-family dwelling")
    reached = {node.split(".", maxsplit=1)[0] for node in reached_from(given, service.tag)}
    side = service_side(given)
    equipment = [given.system.equipment[tag] for tag in side.enclosures if tag in reached]
    if not equipment:
        return does_not_apply(f"{service.tag}: no service disconnect")
    if all(item.status == "existing" for item in equipment):
        return does_not_apply(f"{service.tag}: the service equipment is existing and stays")
    ahead = {node.split(".", maxsplit=1)[0] for node in side.ahead} & reached
    switches = [item for tag, item in given.system.equipment.items() if tag in ahead and isinstance(item, Disconnect)]
    separate = given.provision("emergency_disconnect").flag("separate_switch_permitted")
    switches = [item for item in switches if separate and item.purpose == "emergency"]
    each = [_outside(item) for item in (*switches, *equipment)]
    if len(equipment) > 1 and not switches:
        found = all_of(f"{service.tag}: every service disconnect serves as emergency disconnect", each)
    else:
        found = any_of(f"{service.tag}: emergency disconnect", each)
    return found if small or found.holds else not_judged(f"whether {service.tag} supplies a one- or two-family dwelling")


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
