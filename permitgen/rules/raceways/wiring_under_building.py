"""Under a building, wiring in the earth lies in raceway."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "wiring-under-building",
    title="Under a building, wiring in the earth lies in raceway",
    provision="wiring_under_building",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge a buried cable or conductors by what stands over them.

    Requires: raceway under a building; metal-clad cable listed for burial may lie there without one.
    Why: a cable under a slab can neither be seen nor drawn out again when it fails.
    Applies to: buried runs without a raceway; how deep they lie is another rule.
    Example that fails: underground feeder cable below the slab of the house.
    Example that passes: the same conductors in PVC conduit.
    """
    del given
    if raceway.is_filled or not raceway.buried:
        return does_not_apply(f"{raceway.tag} is {'a raceway' if raceway.is_filled else 'not buried'}")
    if not raceway.surface:
        return not_judged(f"what is over {raceway.tag}: lawn, driveway, street, building, slab")
    if raceway.surface != "building":
        return does_not_apply(f"{raceway.tag} does not lie under a building")
    listed = raceway.answer("listed_for_burial") if raceway.kind == "MC cable" else False
    message = f"{raceway.tag}: {raceway.kind} under a building without raceway{', listed for burial' if listed else ''}"
    return require(listed, message, missing=f"whether the cable {raceway.tag} is listed for direct burial")
