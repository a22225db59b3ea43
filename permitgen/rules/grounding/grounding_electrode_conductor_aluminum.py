"""An aluminum grounding electrode conductor ends 18 in above the earth or higher."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, at_least, does_not_apply, require, require_at_least
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


@rule(
    "grounding-electrode-conductor-aluminum",
    title="An aluminum grounding electrode conductor ends 18 in above the earth or higher",
    provision="grounding_electrode_conductor_installation",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge how far above the earth an aluminum grounding electrode conductor ends outside.

    Requires: 18 in or more; from 2020 less inside an enclosure that is listed for outdoors.
    Why: aluminum corrodes away in damp earth and masonry, and nobody sees it.
    Applies to: grounding electrode conductors of aluminum.
    Example that fails: aluminum clamped to a ground rod at grade.
    Example that passes: aluminum that ends 20 in above grade, copper from there.
    """
    if item.conductor_material != "aluminum":
        return does_not_apply(f"{item.tag}: its conductor is {item.conductor_material}")
    height = given.need(item.fact("conductor_above_earth"), f"height above the earth at which the aluminum conductor of {item.tag} ends")
    provision = given.provision("grounding_electrode_conductor_installation")
    limit = provision.value("aluminum_above_earth_in")
    if provision.flag("lower_in_enclosure") and not at_least(height, limit):
        inside = given.need(item.answer("conductor_ends_in_enclosure"), f"whether the conductor of {item.tag} ends in a listed enclosure")
        if inside:
            return require(fact=True, message=f"{item.tag}: aluminum conductor ends in a listed enclosure for outdoors")
    message = f"{item.tag}: aluminum conductor ends {height.length} above the earth, {limit.length} needed"
    return require_at_least(message, computed=height, limit=limit)
