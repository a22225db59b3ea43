"""Overcurrent devices stand in no clothes closet, no bathroom of a dwelling and not over the steps of a stairway."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.enclosed_devices import holds_overcurrent_devices
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "overcurrent-place",
    title="Overcurrent devices stand in no clothes closet, no bathroom of a dwelling and not over the steps of a stairway",
    provision="overcurrent_place",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the room an enclosure with overcurrent devices stands in.

    Requires: no clothes closet, no bathroom, not over stairs.
    Why: heat near clothes starts fires; water and a fall make the switching hand's accident.
    Applies to: panelboards, interconnect devices, fused switches.
    Example that fails: a backup panel in a clothes closet.
    Example that passes: a backup panel in a garage.
    """
    if not holds_overcurrent_devices(given.system, item):
        return does_not_apply(f"{item.tag} holds no overcurrent device for the circuits")
    place = given.need(item.place, f"place of {item.tag}")
    space = given.need(place.space or None, f"space in which {item.tag} is located").casefold()
    barred = next((word for word in given.provision("overcurrent_place").words("not_in") if word in space), "")
    return require(not barred, f"{item.tag} is located in: {place.space}")
