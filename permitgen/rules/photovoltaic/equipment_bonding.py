"""Module frames and rails are bonded by parts listed for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "pv-equipment-bonding",
    title="Module frames and rails are bonded by parts listed for it",
    provision="pv_equipment_bonding",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:  # noqa: ARG001 - every rule is given the code
    """Judge how the metal of an array is bonded.

    Requires: frames and rails bonded by parts listed for it (UL 2703), or by conductors with listed lugs.
    Why: a frame that a damaged lead touches must trip the ground-fault protection, not wait for a hand.
    Applies to: every array.
    Example that fails: modules clamped on rails with clamps that were never tested for bonding.
    Example that passes: a racking system listed for bonding.
    """
    listed = array.answer("bonded_by_listed_parts")
    message = f"{array.tag}: its frames and rails are {'' if listed else 'not '}bonded by listed parts"
    return require(listed, message, missing=f"whether frames and rails of {array.tag} are bonded by listed parts")
