"""A bonding jumper outside its raceway is short."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_most
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule("outside-jumper", title="A bonding jumper outside its raceway is short", provision="outside_bonding_jumper", judges="raceway")
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the length of a jumper that runs along the outside of a raceway.

    Requires: at most 6 ft.
    Why: the further it lies from the conductors, the more its inductance keeps fault current out of it.
    Applies to: raceways that state a jumper outside.
    Example that fails: 8 ft of jumper along a liquidtight conduit.
    Example that passes: 6 ft of it.
    """
    length = raceway.fact("outside_jumper")
    if length is None:
        return does_not_apply(f"{raceway.tag}: no bonding jumper runs outside of it")
    limit = given.provision("outside_bonding_jumper").value("longest_ft")
    message = f"{raceway.tag}: {length.length} of bonding jumper outside, at most {limit.length}"
    return require_at_most(message, computed=length, limit=limit)
