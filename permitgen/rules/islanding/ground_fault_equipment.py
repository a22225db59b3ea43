"""Sources beyond ground-fault protection of equipment do not keep it from seeing a fault.

Such protection stands at services of more than 150 V to ground and 1000 A or more, so that a dwelling of 120/240 V has none.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, at_least, at_most, does_not_apply, require
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utility_service import UtilityService


@rule(
    "ground-fault-equipment",
    title="Sources beyond ground-fault protection of equipment do not keep it from seeing a fault",
    provision="ground_fault_equipment",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge whether ground-fault protection of the service still sees every fault with sources beyond it.

    Requires: sources connected ahead of the protection, or protection that sees the current of all of them.
    Why: current that a source feeds into a fault beyond the sensor never passes it.
    Applies to: services above 150 V to ground with a disconnect of 1000 A or more.
    Example that fails: inverters behind the main of a 480Y/277 V service of 1200 A whose sensor sees the utility only.
    Example that passes: a dwelling service of 120/240 V, which has no such protection.
    """
    provision = given.provision("service_ground_fault_protection")
    to_ground = service.line_to_neutral_v or given.need(service.line_to_line_v, f"voltage of {service.tag}")
    if at_most(to_ground, provision.value("to_ground_v")):
        return does_not_apply(f"{service.tag}: {to_ground.figure} V to ground, no ground-fault protection of equipment is due")
    ratings = [given.need(d.rating_a, f"rating of {d.handle}") for d in service_side(given).of_loads]
    if not any(at_least(rating, provision.value("from_a")) for rating in ratings):
        return does_not_apply(f"{service.tag}: no disconnect of {provision.value('from_a').figure} A or more")
    sees = service.answer("ground_fault_equipment_sees_sources")
    return require(
        sees,
        f"{service.tag}: its ground-fault protection {'sees' if sees else 'does not see'} what sources beyond it feed into a fault",
        missing=f"whether the ground-fault protection of {service.tag} sees the current of the sources",
    )
