"""Where a storage unit stands, in the classes by which fire and building codes limit it."""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.building_use import NO_DWELLING, use_of
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem

if TYPE_CHECKING:
    from permitgen.rules.given import Given


class SitingClass(Enum):
    """The classes of places; the value is what messages print."""

    UTILITY_SPACE = "utility, storage or basement space"
    GARAGE = "garage or accessory building"
    EXTERIOR_WALL = "exterior wall"
    GROUND = "ground outdoors"
    HABITABLE = "habitable or sleeping space, or a closet"

    def __str__(self) -> str:
        return self.value


# The field of the provision that limits the energy in each class.
LIMIT_FIELD = {
    SitingClass.UTILITY_SPACE: "utility_space_kwh",
    SitingClass.GARAGE: "garage_kwh",
    SitingClass.EXTERIOR_WALL: "exterior_wall_kwh",
    SitingClass.GROUND: "ground_kwh",
}

# Words in the place's ``space``, the first that is found decides.
_INDOOR_WORDS: tuple[tuple[str, SitingClass], ...] = (
    ("bed", SitingClass.HABITABLE),
    ("sleep", SitingClass.HABITABLE),
    ("living", SitingClass.HABITABLE),
    ("kitchen", SitingClass.HABITABLE),
    ("dining", SitingClass.HABITABLE),
    ("hall", SitingClass.HABITABLE),
    ("office", SitingClass.HABITABLE),
    ("habitable", SitingClass.HABITABLE),
    ("garage", SitingClass.GARAGE),
    ("carport", SitingClass.GARAGE),
    ("accessory", SitingClass.GARAGE),
    ("shed", SitingClass.GARAGE),
    ("barn", SitingClass.GARAGE),
    ("utility", SitingClass.UTILITY_SPACE),
    ("basement", SitingClass.UTILITY_SPACE),
    ("storage", SitingClass.UTILITY_SPACE),
    ("mechanical", SitingClass.UTILITY_SPACE),
    ("laundry", SitingClass.UTILITY_SPACE),
    ("closet", SitingClass.HABITABLE),
)
_OUTDOOR_WORDS: tuple[tuple[str, SitingClass], ...] = (
    ("ground", SitingClass.GROUND),
    ("pad", SitingClass.GROUND),
    ("yard", SitingClass.GROUND),
    ("wall", SitingClass.EXTERIOR_WALL),
)


def siting_class(given: Given, unit: EnergyStorageSystem) -> SitingClass:
    """Return the class of the place where a storage unit stands; a storage room of a detached building is no space of the dwelling.

    Raises:
        MissingFactError: the place, whether it is outdoors, or the kind of space is not stated, or not known.
    """
    place = given.need(unit.place, f"place of {unit.tag}")
    outdoors = given.need(place.outdoors, f"whether {unit.tag} is outdoors")
    space = given.need(place.space.casefold() or None, f"kind of space of {unit.tag} (garage, utility closet, outside wall …)")
    words = _OUTDOOR_WORDS if outdoors else _INDOOR_WORDS
    found = next((kind for word, kind in words if word in space), None)
    if found is None:
        raise MissingFactError(f'kind of space of {unit.tag}; "{place.space}" is none that the codes name')
    if found is SitingClass.UTILITY_SPACE and use_of(given, place.building) == NO_DWELLING:
        return SitingClass.GARAGE
    return found


def storage_units(given: Given) -> tuple[EnergyStorageSystem, ...]:
    """Return the storage units that are there or to be installed, above the size that the codes leave out.

    Raises:
        MissingFactError: a rated energy is not stated.
    """
    units = [item for item in given.system.equipment.values() if isinstance(item, EnergyStorageSystem)]
    if not given.in_force("ess_small_system"):
        return tuple(units)
    smallest = given.provision("ess_small_system").value("to_kwh").number
    return tuple(unit for unit in units if given.need(unit.energy_kwh, f"rated energy of {unit.tag}").number > smallest)
