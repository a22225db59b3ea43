"""Where storage stands indoors, a smoke alarm or heat detector watches over it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.siting_places import storage_units
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "storage-fire-detection",
    title="Where storage stands indoors, a smoke alarm or heat detector watches over it",
    provision="ess_fire_detection",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge whether fire is detected where a storage unit stands.

    Requires: a smoke alarm interconnected with those of the dwelling, or a heat detector where smoke alarms cannot serve.
    Why: people upstairs must wake before the smoke reaches them.
    Applies to: storage units indoors.
    Example that fails: unit in a garage without any detector.
    Example that passes: the same garage with a heat detector interconnected with the alarms.
    """
    if unit not in storage_units(given):
        return does_not_apply(f"{unit.tag}: too small for the section")
    place = given.need(unit.place, f"place of {unit.tag}")
    if given.need(place.outdoors, f"whether {unit.tag} is outdoors"):
        return does_not_apply(f"{unit.tag}: outdoors")
    detection = given.need(place.word("fire_detection") or None, f"fire detection where {unit.tag} is located")
    return require(detection != "none", f"{unit.tag}: {'no fire detection' if detection == 'none' else detection} where it is")
