"""Overcurrent devices are readily accessible, and their grips within reach."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.enclosed_devices import holds_overcurrent_devices, where_devices_unsaid
from permitgen.rules.quantities.grip_height import judge_grip
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "overcurrent-accessible",
    title="Overcurrent devices are readily accessible, and their grips within reach",
    provision="overcurrent_accessible",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge where an enclosure with overcurrent devices stands.

    Requires: readily accessible; center of the grip in its highest position at most 6 ft 7 in above the floor.
    Why: a breaker is opened in a hurry, by anybody, without a ladder.
    Applies to: panelboards, interconnect devices, fused switches; not devices inside a generator or a storage unit, nor on a roof.
    Example that fails: a panel whose top breaker is at 80 in.
    Example that passes: a panel whose top breaker is at 79 in.
    """
    holds = holds_overcurrent_devices(given.system, item)
    if holds is False:
        return does_not_apply(f"{item.tag} holds no overcurrent device for the circuits")
    judgement = _of_its_place(item, given)
    return judgement if holds or judgement.verdict is Verdict.DOES_NOT_APPLY else where_devices_unsaid(item, judgement)


def _of_its_place(item: Equipment, given: Given) -> Judgement:
    place = given.need(item.place, f"place of {item.tag}")
    if place.space == "roof":
        return does_not_apply(f"{item.tag} is on the roof, where the rules for PV govern")
    accessible = require(
        place.readily_accessible, f"{item.tag}: {_says(place.readily_accessible)}", missing=f"whether {item.tag} is readily accessible"
    )
    return all_of(
        f"{item.tag}: readily accessible and within reach",
        [accessible, *parts_of(lambda: judge_grip(item, given.provision("overcurrent_accessible"), "highest_grip_in"))],
    )


def _says(accessible: bool | None) -> str:  # noqa: FBT001 - a fact of the file, not a switch
    return "readily accessible" if accessible else "its overcurrent devices are not readily accessible"
