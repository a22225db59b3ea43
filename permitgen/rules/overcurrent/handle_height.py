"""Switches are within reach: the center of the handle in its highest position at most 6 ft 7 in above the floor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.enclosed_devices import holds_overcurrent_devices
from permitgen.rules.quantities.grip_height import judge_grip
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "handle-height",
    title="Switches are within reach: the center of the handle in its highest position at most 6 ft 7 in above the floor",
    provision="handle_height",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the height of a switch that holds no overcurrent device; those with one have a rule of their own.

    Requires: readily accessible; center of the handle in its highest position ≤ 6 ft 7 in above the floor or platform.
    Why: a switch out of reach is not opened in time.
    Applies to: switches, transfer switches, rapid shutdown initiators; no smallest height is set here.
    Example that fails: a switch with its grip at 80 in.
    Example that passes: a switch with its grip at 79 in.
    """
    if not item.is_switch:
        return does_not_apply(f"{item.tag} is no switch")
    if holds_overcurrent_devices(given.system, item):
        return does_not_apply(f"{item.tag} holds an overcurrent device (see overcurrent-accessible)")
    if item.place is not None and item.place.readily_accessible is False:
        return require(fact=False, message=f"{item.tag}: the switch is not readily accessible")
    return judge_grip(item, given.provision("handle_height"), "highest_grip_in")
