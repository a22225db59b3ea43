"""Service conductors pass through no other building than the one they supply.

Under 2 in of concrete or 18 in of earth they count as outside. How far they may run inside their own building is judged with the
place of the service disconnect.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.quantities.service_wiring import enclosed, service_circuits_in
from permitgen.rules.quantities.siting_buildings import are_one_structure, outlines_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "service-conductors-inside",
    title="Service conductors pass through no other building than the one they supply",
    provision="service_conductors_inside",
    judges="raceway",
)
def judge(run: Raceway, given: Given) -> Judgement:
    """Judge a run of service conductors inside a building.

    Requires: concrete of 2 in around it or earth of 18 in over it; else that the building is the one with the service disconnect.
    Why: nothing on the premises interrupts a fault in these conductors, and nobody in the other building can switch them off.
    Applies to: runs inside a building in which service conductors lie.
    Example that fails: service conductors of the house through a detached garage, in plain conduit.
    Example that passes: the same under the garage with 2 in of concrete around them.
    """
    if not service_circuits_in(given, run):
        return does_not_apply(f"{run.tag}: no service conductors in it")
    if not run.inside_building:
        return does_not_apply(f"{run.tag}: not inside a building")
    outside = enclosed(given, run)
    if outside is not None and outside.holds:
        return outside
    supplied = _buildings_supplied(given)
    here = _building_of(given, run)
    message = f"{run.tag}: service conductors inside {here or 'the building'}"
    if all(are_one_structure(given, here, building) for building in supplied):
        judgement = require(fact=True, message=f"{message}, which they supply")
    else:
        judgement = require(fact=False, message=f"{message}; they supply {', '.join(supplied)}")
    return judgement.under(given.provision("service_through_other_building"))


def _buildings_supplied(given: Given) -> tuple[str, ...]:
    """The buildings that hold the service disconnects.

    Raises:
        MissingFactError: a service disconnect has no place.
    """
    enclosures = [given.system.equipment[tag] for tag in service_side(given).enclosures]
    places = [given.need(item.place, f"place of {item.tag}") for item in enclosures]
    return tuple(dict.fromkeys(place.building for place in places))


def _building_of(given: Given, run: Raceway) -> str:
    """The building a run is in; asked for where the site plan draws several structures."""
    names = list(outlines_of(given))
    if not run.on_building and all(are_one_structure(given, names[0], name) for name in names[1:]):
        return names[0] if names else "house"
    return given.need(run.on_building or None, f"building of {run.tag}")
