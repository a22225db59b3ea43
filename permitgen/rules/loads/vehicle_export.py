"""Equipment through which a vehicle feeds the house is listed and marked for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.utilization import EVSupplyEquipment


@rule(
    "vehicle-export",
    title="Equipment through which a vehicle feeds the house is listed and marked for it",
    provision="ev_export",
    judges="ev_supply_equipment",
)
def judge(item: EVSupplyEquipment, given: Given) -> Judgement:
    """Judge the listing of equipment that can give back.

    Requires: listed and marked for feeding premises wiring.
    Why: an adapter that was made for a truck's outlet makes two sources out of one circuit.
    Applies to: vehicle supply equipment that exports.
    Example that fails: an adapter cord from a truck to a dryer outlet.
    Example that passes: listed bidirectional equipment.
    """
    del given
    if not item.exports:
        return does_not_apply(f"{item.tag} charges only")
    listed = item.answer("export_listed")
    message = f"{item.tag} is {'' if listed else 'not '}listed for feeding the house"
    return require(listed, message, missing=f"whether {item.tag} is listed for feeding the house")
