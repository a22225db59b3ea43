"""A generator outside has its disconnect readily accessible and in sight of the building it serves; its own counts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator


@rule(
    "outdoor-generator",
    title="A generator outside has its disconnect readily accessible and in sight of the building it serves; its own counts",
    provision="outdoor_generator",
    judges="generator",
)
def judge(machine: Generator, given: Given) -> Judgement:
    """Judge whether the disconnect of an outdoor generator can be seen from the building.

    Requires: a readily accessible disconnect in sight of the building; the generator's own, on the machine in sight, is enough.
    Why: whoever works in the house must see that the machine is off.
    Applies to: permanently installed generators outside.
    Example that fails: a machine behind the barn without a disconnect at the house.
    Example that passes: a machine on a pad beside the garage.
    """
    place = machine.place
    if machine.is_portable:
        return does_not_apply(f"{machine.tag} is portable")
    if place is None or place.outdoors is None:
        return not_judged(f"whether {machine.tag} is outdoors")
    if not place.outdoors:
        return does_not_apply(f"{machine.tag} is indoors")
    if not place.in_sight_of:
        return not_judged(f"what {machine.tag} is in sight of")
    buildings = {item.place.building for item in given.system.equipment.values() if item.place is not None}
    seen = [name for name in place.in_sight_of if name in given.system.equipment or name in buildings]
    text = f"in sight of {' and '.join(seen)}" if seen else "out of sight of the building"
    if machine.has_disconnect is None and seen:
        return not_judged(f"whether {machine.tag} has a disconnect")
    in_sight = require(bool(seen) and bool(machine.has_disconnect), f"{machine.tag}, with its disconnect, is {text}")
    reach = place.readily_accessible
    words = f"{machine.tag}, with its disconnect, is {'' if reach else 'not '}readily accessible"
    return all_of(in_sight.message, [in_sight, require(reach, words, missing=f"whether {machine.tag} is readily accessible")])
