"""A module that gives current from its rear side counts with the highest short-circuit current that is marked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "pv-highest-current",
    title="A module that gives current from its rear side counts with the highest short-circuit current that is marked",
    provision="listed_and_instructed",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the short-circuit current with which the circuits of one array are computed.

    Requires: the highest current that label or instructions give; that of the front alone does not do for a bifacial module.
    Why: light from a pale roof adds a tenth and more, and the conductors carry it all day.
    Applies to: arrays of modules.
    Example that fails: 12 A stated as the highest current of a module whose front alone gives 13 A.
    Example that passes: 14.3 A with the rear side for the same module.
    """
    module = given.need(array.module, f"module of {array.tag}")
    if not given.need(module.is_bifacial, f"whether {module.name} is bifacial"):
        return does_not_apply(f"{array.tag}: its modules give current from the front alone")
    highest = given.need(module.highest_isc_a, f"highest marked short-circuit current of {module.name}")
    front = given.need(module.isc_a, f"short-circuit current of {module.name}").named("I_front", f"current of the front of {module.name}")
    message = f"{array.tag}: computed with {highest.figure} A, the front alone gives {front.figure} A"
    return require_at_least(message, computed=highest, limit=front)
