"""Whether equipment stands in a kind of place, by what the project says of the place; None where the words do not tell."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.building_use import is_dwelling_at

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.place import Place

# Words of ``space`` that say that a thing stands there, whether such a place is indoors, and words that say that it does not. A room is
# one kind of room; a level of the house is told by words for levels, so that a utility room is no answer to *basement*.
# An empty word stands in every space.
_WORDS: dict[str, tuple[tuple[str, ...], bool, tuple[str, ...]]] = {
    "basement": (
        ("basement", "cellar"),
        True,
        ("garage", "carport", "shed", "barn", "floor", "upstairs", "attic", "roof"),
    ),
    "garage": (("garage", "carport"), True, ("",)),
    "closet": (("closet",), True, ("",)),
    "bedroom": (
        ("bed", "sleep"),
        True,
        ("garage", "carport", "shed", "barn", "basement", "utility", "laundry", "mechanical", "attic", "crawl", "hall", "kitchen"),
    ),
    "attic": (("attic",), True, ("garage", "carport", "shed", "basement", "cellar", "floor")),
    "crawl space": (("crawl",), True, ("",)),
    "outside wall": (("wall",), False, ("",)),
    "ground outdoors": (("ground", "pad", "yard"), False, ("",)),
    "roof": (("roof",), False, ("",)),
}
_NOT_OF_THE_UNIT = ("garage", "carport", "shed", "barn", "accessory")


def stands_in(item: Equipment, given: Given, name: str) -> bool | None:
    """Return whether equipment stands in a place of the kind ``name``, None where the project does not tell.

    Raises:
        MissingFactError: its place, whether it is outdoors, or its kind of space is not stated.
    """
    place = given.need(item.place, f"place of {item.tag}")
    if name == "under stairs":
        return True if "stair" in place.space.casefold() else place.is_under_stairs
    outdoors = given.need(place.outdoors, f"whether {item.tag} is outdoors")
    if name in ("indoors", "outdoors"):
        return outdoors == (name == "outdoors")
    if name == "dwelling unit":
        return _in_dwelling_unit(place, given, item.tag, outdoors=outdoors)
    words, is_indoors, others = _WORDS[name]
    if outdoors == is_indoors:
        return False
    space = _space(place, given, item.tag)
    if any(word in space for word in words):
        return True
    return False if any(word in space for word in others) else None


def _in_dwelling_unit(place: Place, given: Given, tag: str, *, outdoors: bool) -> bool | None:
    """Indoors, in a building that people live in, and not in its garage or shed."""
    if outdoors:
        return False
    if any(word in _space(place, given, tag) for word in _NOT_OF_THE_UNIT):
        return False
    return is_dwelling_at(given, place.building)


def _space(place: Place, given: Given, tag: str) -> str:
    return given.need(place.space.casefold() or None, f"kind of space of {tag} (garage, utility closet, outside wall …)")
