"""An energy storage system is listed as a system."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule("ess-listed", title="An energy storage system is listed as a system", provision="ess_listed", judges="energy_storage_system")
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:  # noqa: ARG001 - every rule is given the code
    """Judge the listing of one storage unit.

    Requires: the unit is listed as a system (UL 9540).
    Why: inverter and battery listed apart say nothing of a fire in the two together.
    Applies to: energy storage systems.
    Example that fails: a battery and an inverter that were never tested together.
    Example that passes: a unit with the mark of a storage system.
    """
    listed = unit.is_listed_system
    message = f"{unit.tag} is {'' if listed else 'not '}listed as an energy storage system"
    return require(listed, message, missing=f"whether {unit.tag} is listed as an energy storage system")
