"""Flexible metal conduit stays dry; liquidtight conduit in the sun or in the earth is marked for it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.raceways.sunlight import judge_in_sun
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway

_PROVISION = {"FMC": "flexible_metal_conduit_uses", "LFMC": "liquidtight_metal_uses", "LFNC-B": "liquidtight_nonmetallic_uses"}


@rule(
    "flexible-conduit",
    title="Flexible metal conduit stays dry; liquidtight conduit in the sun or in the earth is marked for it",
    provision="flexible_metal_conduit_uses",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge where flexible conduit lies.

    Requires: flexible metal conduit neither in a wet place nor underground; liquidtight conduit in shade or marked for sunlight, and
        listed for burial where it is buried.
    Why: rain runs in between the turns of the strip, and a jacket not made for the sun cracks open in a few summers.
    Applies to: flexible metal and liquidtight conduit.
    Example that fails: flexible metal conduit on an outside wall.
    Example that passes: liquidtight metal conduit there, marked sunlight resistant.
    """
    if raceway.kind not in _PROVISION:
        return does_not_apply(f"{raceway.tag} is no flexible conduit")
    parts = list(_dry(raceway) if raceway.kind == "FMC" else _marked(raceway))
    return all_of(f"{raceway.tag}: {raceway.kind} where it may be", parts).under(given.provision(_PROVISION[raceway.kind]))


def _dry(raceway: Raceway) -> Iterator[Judgement]:
    wet = raceway.is_wet_or_buried
    where = "underground" if raceway.underground else "in a wet place" if wet else "in a dry place"
    yield require(not wet, f"{raceway.tag}: flexible metal conduit {where}")


def _marked(raceway: Raceway) -> Iterator[Judgement]:
    if raceway.buried:
        listed = raceway.answer("listed_for_burial")
        message = f"{raceway.tag}: {raceway.kind} underground, {'' if listed else 'not '}listed for burial"
        yield require(listed, message, missing=f"whether {raceway.tag} is listed for direct burial")
    elif raceway.inside_building:
        yield require(fact=True, message=f"{raceway.tag}: {raceway.kind} inside the building")
    else:
        yield judge_in_sun(raceway, f"{raceway.kind} ")
