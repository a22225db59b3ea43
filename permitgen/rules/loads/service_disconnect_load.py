"""Each of several service disconnects carries the calculated load behind it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply
from permitgen.rules.loads.methods import judge_load
from permitgen.rules.quantities.load_capacity import capacity_at, scope_behind
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "service-disconnect-load",
    title="Each of several service disconnects carries the calculated load behind it",
    provision="service_conductor_size",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the calculated load behind one of several service disconnects against its rating and its conductors.

    Requires: calculated load ≤ rating of the disconnect and ampacity of the conductors that land there.
    Why: two mains of 200 A carry 400 A together, and neither of them 250 A.
    Applies to: services with disconnects in several enclosures. Behind one that serves a whole dwelling unit the floor area of the unit
    counts. What the floor area of a dwelling with several disconnects gives is of no panel, so that only general loads that are listed
    count: without any a load that fits is not judged.
    Example that fails: 41.5 kW of heat and 10 kW of other loads behind one of two 200 A mains, 214.6 A.
    Example that passes: 24 kW behind it, its lighting circuits among them.
    """
    enclosures = service_side(given).enclosures
    if item.tag not in enclosures or len(enclosures) == 1:
        return does_not_apply(f"{item.tag}: not one of several service disconnects")
    scope = scope_behind(given, item.tag)
    if scope.is_empty:
        return does_not_apply(f"{item.tag}: no loads are listed behind it")
    return judge_load(given, scope, capacity_at(given, item.tag), f"{item.tag}: calculated load behind it", behind=item.tag)
