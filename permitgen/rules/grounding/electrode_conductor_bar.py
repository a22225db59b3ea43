"""The electrode conductor lands on the grounding bar only where a wire or a busbar joins it to the neutral."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.grounding_electrodes import is_untouched
from permitgen.rules.quantities.siting_buildings import is_in_second_building
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


@rule(
    "electrode-conductor-bar",
    title="The electrode conductor lands on the grounding bar only where a wire or a busbar joins it to the neutral",
    provision="electrode_conductor_on_grounding_bar",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge the bar on which the grounding electrode conductor lands.

    Requires: the neutral bar; the grounding bar only where the main bonding jumper is a wire or a busbar between the two.
    Why: through a screw and the enclosure the surge of a lightning stroke finds no metal that was made for it.
    Applies to: grounding at a service, unless electrodes and the equipment at their conductor stay as they are.
    Example that fails: the conductor on the grounding bar behind a bonding screw.
    Example that passes: on the same bar behind a bonding strap.
    """
    second = is_in_second_building(given, given.system.equipment.get(item.first_landing))
    if is_untouched(given, item) or second or not given.system.utility_nodes or not item.lands_at:
        return does_not_apply(f"{item.tag}: existing grounding that stays, or not that of a service")
    bar = given.need(item.word("lands_on") or None, f"bar on which the electrode conductor of {item.tag} lands")
    if bar == "neutral bar":
        return require(fact=True, message=f"{item.tag}: the electrode conductor lands on the neutral bar")
    jumper = item.word("bonding_jumper_kind") or ("wire" if item.jumper_size is not None else "")
    message = f"{item.tag}: the electrode conductor lands on the grounding bar behind a {jumper}"
    missing = f"kind of the main bonding jumper of {item.tag}: screw, strap or busbar, wire"
    return require(jumper != "screw" if jumper else None, message, missing=missing)
