"""Walls and ceiling around storage in a basement or utility space are finished or do not burn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.siting_places import SitingClass, siting_class, storage_units
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "storage-lining",
    title="Walls and ceiling around storage in a basement or utility space are finished or do not burn",
    provision="ess_siting_lining",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge the lining of the room of one storage unit.

    Requires: finished or noncombustible walls and ceiling; gypsum board of 5/8 in, type X, on bare framing.
    Why: a fire in the unit must not find the studs at once.
    Applies to: storage units in utility, storage and basement spaces of dwellings.
    Example that fails: a unit on bare studs in a basement.
    Example that passes: a unit in a finished utility room.
    """
    if unit not in storage_units(given):
        return does_not_apply(f"{unit.tag}: too small for the section")
    if siting_class(given, unit) is not SitingClass.UTILITY_SPACE:
        return does_not_apply(f"{unit.tag} is in no utility, storage or basement space")
    lining = unit.place.word("lining") if unit.place is not None else ""
    message = f"{unit.tag}: walls and ceiling around it are {lining}"
    return require(lining != "bare framing" if lining else None, message, missing=f"walls and ceiling of the room of {unit.tag}")
