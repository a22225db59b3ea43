"""Tray cable outside a cable tray is identified for where it runs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.raceways.sunlight import judge_in_sun
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "tray-cable", title="Tray cable outside a cable tray is identified for where it runs", provision="tray_cable_outdoors", judges="raceway"
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge where TC-ER cable runs.

    Requires: inside a dwelling, identified for that; outdoors, out of the sun or sunlight resistant. A listed trunk cable of module
        inverters is judged by its listing.
    Why: what is made for trays in a plant is not by itself made for a stud wall, or for thirty summers on a roof.
    Applies to: TC-ER cable above ground.
    Example that fails: TC-ER in the sun without the mark.
    Example that passes: the trunk cable that comes listed with the microinverters.
    """
    if raceway.kind != "TC-ER cable":
        return does_not_apply(f"{raceway.tag} is not tray cable")
    if raceway.answer("listed_assembly"):
        return require(fact=True, message=f"{raceway.tag}: part of a listed assembly, used where that may be").under(
            given.provision("listed_and_instructed")
        )
    if raceway.buried:
        return does_not_apply(f"{raceway.tag} is underground, where its depth is checked")
    return _inside(raceway, given) if raceway.inside_building else judge_in_sun(raceway, "tray cable ")


def _inside(raceway: Raceway, given: Given) -> Judgement:
    identified = raceway.answer("identified_for_dwelling")
    message = f"{raceway.tag}: tray cable inside, {'' if identified else 'not '}identified for dwellings"
    found = require(identified, message, missing=f"whether the cable {raceway.tag} is identified for the inside of dwellings")
    return found.under(given.provision("tray_cable_in_dwelling"))
