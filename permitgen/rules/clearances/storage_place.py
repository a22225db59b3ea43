"""Storage stands where the fire or building code lets it stand: not where people sleep or live.

Utility spaces, garages, accessory buildings, outside walls and the ground. Which book binds is the jurisdiction's choice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.siting_places import SitingClass, siting_class, storage_units
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "storage-place",
    title="Storage stands where the fire or building code lets it stand: not where people sleep or live",
    provision="ess_siting_place",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge the kind of space in which a storage unit stands.

    Requires: a utility, storage or basement space, a garage or accessory building, an outside wall, or the ground outdoors.
    Why: gas from a failing battery kills sleepers, and its fire blocks their way out.
    Applies to: storage units of more than 1 kWh at dwellings.
    Example that fails: unit in a bedroom closet.
    Example that passes: unit in the garage.
    """
    if unit not in storage_units(given):
        return does_not_apply(f"{unit.tag}: too small for the section")
    found = siting_class(given, unit)
    at = unit.where.get("place")
    return require(
        found is not SitingClass.HABITABLE,
        f"{unit.tag}: is in a {found}" if found is not SitingClass.EXTERIOR_WALL else f"{unit.tag}: is at an exterior wall",
        places=(at,) if at is not None else (),
    )
