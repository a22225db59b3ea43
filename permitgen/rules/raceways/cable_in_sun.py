"""Cables and conductors in the sun are made for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.raceways.sunlight import judge_in_sun
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway

_CABLES = ("SER cable", "SEU cable", "MC cable")


@rule("cable-in-sun", title="Cables and conductors in the sun are made for it", provision="sunlight_resistant", judges="raceway")
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge cables and bare-laid conductors outdoors above ground.

    Requires: shade, or a cable or conductors listed or marked sunlight resistant.
    Why: sun makes ordinary insulation brittle; it falls off where it bends.
    Applies to: service-entrance and metal-clad cable, ac and battery conductors in free air. Tray cable, underground feeder cable and
        conductors of an array have rules of their own; a service drop belongs to the utility.
    Example that fails: metal-clad cable without a jacket for sunlight up a south wall.
    Example that passes: service-entrance cable marked sunlight resistant.
    """
    if not _is_asked(raceway, given):
        return does_not_apply(f"{raceway.tag}: {raceway.kind} has a rule of its own, or holds what is not asked here")
    if raceway.buried or raceway.inside_building:
        return does_not_apply(f"{raceway.tag} is {'underground' if raceway.buried else 'inside the building'}")
    return judge_in_sun(raceway, f"{raceway.kind} ")


def _is_asked(raceway: Raceway, given: Given) -> bool:
    if raceway.kind in _CABLES:
        return True
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag]]
    aside = (CircuitRole.PV_DC, CircuitRole.SERVICE)
    return raceway.is_free_air and not raceway.answer("listed_assembly") and any(role(given, each) not in aside for each in circuits)
