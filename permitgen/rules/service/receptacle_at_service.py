"""Near indoor service equipment stands a receptacle outlet; one- and two-family dwellings are excepted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.building_use import is_small_dwelling_at, question
from permitgen.rules.quantities.dwelling_kind import is_one_or_two_family
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.quantities.siting_buildings import building_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "receptacle-at-service",
    title="Near indoor service equipment stands a receptacle outlet; one- and two-family dwellings are excepted",
    provision="new_outlets_at_equipment",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the distance from indoor service equipment to the next receptacle outlet.

    Requires: at most 25 ft.
    Why: whoever works there needs light and tools, and runs cords through doors otherwise.
    Applies to: indoor service equipment of buildings other than one- and two-family dwellings.
    Example that fails: service panel of a four-family house, the next receptacle 40 ft away.
    Example that passes: a receptacle beside it.
    """
    if item.tag not in service_side(given).enclosures:
        return does_not_apply(f"{item.tag}: holds no service disconnect")
    provision = given.provision("new_outlets_at_equipment")
    place = given.need(item.place, f"place of {item.tag}")
    building = building_of(given, item.tag)
    small: bool | None = False
    if provision.flag("dwelling_excepted"):
        small = is_small_dwelling_at(given, building) if building else is_one_or_two_family(given)
    if small:
        return does_not_apply(f"{item.tag}: a one- or two-family dwelling")
    if given.need(place.outdoors, f"whether {item.tag} is outdoors"):
        return does_not_apply(f"{item.tag}: outdoors")
    distance = place.fact("to_receptacle")
    if small is None and distance is None:
        given.need(None, question(building))
    distance = given.need(distance, f"distance of {item.tag} to the next receptacle outlet")
    limit = provision.value("within_ft")
    judgement = require_at_most(f"{item.tag}: {distance.length} to the next receptacle outlet", computed=distance, limit=limit)
    return not_judged(question(building)) if small is None and not judgement.holds else judgement
