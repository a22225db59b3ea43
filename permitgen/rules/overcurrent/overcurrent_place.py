"""Overcurrent devices stand in no clothes closet, no bathroom and not over the steps of a stairway."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.building_use import is_dwelling_at, is_elsewhere, question
from permitgen.rules.quantities.enclosed_devices import holds_overcurrent_devices, where_devices_unsaid
from permitgen.rules.quantities.siting_buildings import building_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "overcurrent-place",
    title="Overcurrent devices stand in no clothes closet, no bathroom and not over the steps of a stairway",
    provision="overcurrent_place",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the room an enclosure with overcurrent devices stands in.

    Requires: no clothes closet, no bathroom of a dwelling, not over stairs; from 2023 no bathroom and no showering facility anywhere.
    Why: heat near clothes starts fires; water and a fall make the switching hand's accident.
    Applies to: panelboards, interconnect devices, fused switches.
    Example that fails: a backup panel in a clothes closet.
    Example that passes: a backup panel in a garage.
    """
    holds = holds_overcurrent_devices(given.system, item)
    if holds is False:
        return does_not_apply(f"{item.tag} holds no overcurrent device for the circuits")
    judgement = _of_its_room(item, given)
    return judgement if holds else where_devices_unsaid(item, judgement)


def _of_its_room(item: Equipment, given: Given) -> Judgement:
    place = given.need(item.place, f"place of {item.tag}")
    space = given.need(place.space or None, f"space in which {item.tag} is located").casefold()
    provision = given.provision("overcurrent_place")
    barred = next((word for word in provision.words("not_in") if any(each in space for each in _ALSO_CALLED.get(word, (word,)))), "")
    if not barred and "closet" in space and not any(word in space for word in _NO_CLOTHES):
        raise MissingFactError(f'space in which {item.tag} is located; "{place.space}" may be a clothes closet')
    if barred == "bathroom" and provision.flag("bathrooms_of_dwellings_only") and _is_in_no_dwelling(given, item):
        return require(fact=True, message=f"{item.tag} is located in: {place.space}, of a building that is no dwelling")
    return require(not barred, f"{item.tag} is located in: {place.space}")


_ALSO_CALLED = {
    "bathroom": ("bath", "toilet", "lavatory", "powder room", "restroom", "washroom"),
    "clothes closet": ("clothes closet", "bedroom closet", "coat closet", "walk-in closet", "wardrobe", "dressing room"),
    "over stairs": ("over stairs", "over the stairs", "above the stairs", "over the steps"),
}
"""What people call the rooms that the code names; common practice, no published source."""
_NO_CLOTHES = ("utility", "electric", "mechanical", "furnace", "storage", "stairs", "laundry", "meter")
"""What a closet is for in which no clothes hang; common practice, no published source."""


def _is_in_no_dwelling(given: Given, item: Equipment) -> bool:
    """Whether it is known to stand in another building than the house, one that is no dwelling.

    Raises:
        MissingFactError: it stands in another building, and nobody says what that is used for.
    """
    if not is_elsewhere(given, item.tag):
        return False
    building = building_of(given, item.tag)
    return not given.need(is_dwelling_at(given, building), question(building))
