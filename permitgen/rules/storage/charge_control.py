"""Charging of batteries is controlled: by the listed system that they are part of, or by equipment made for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "ess-charge-control",
    title="Charging of batteries is controlled: by the listed system that they are part of, or by equipment made for it",
    provision="ess_charge_control",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:  # noqa: ARG001 - every rule is given the code
    """Judge whether something limits the charging of a storage unit.

    Requires: a unit listed as a system, which holds its own charge; else charge control.
    Why: an overcharged battery gasses, swells or burns.
    Applies to: energy storage.
    Example that fails: batteries of the owner's making on an inverter that only charges.
    Example that passes: a unit listed as a storage system.
    """
    if unit.is_listed_system:
        return require(fact=True, message=f"{unit.tag}: its listed system controls the charge")
    controlled = unit.answer("charge_control")
    return require(
        controlled,
        f"{unit.tag}: {'charge control' if controlled else 'nothing controls its charge'}",
        missing=f"charge control of {unit.tag}, or that it is listed as a system",
    )
