"""At what the electrodes of a project stand: at the service, at a second building, or at a structure apart from every building.

They stand where their conductor ends. An array on the ground, its inverter and switch in the open, or a generator on a pad is a structure
of its own: what the code asks of the electrodes of a building with a service, it does not ask there.
"""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.grounding_service_area import ServiceArea, area_of, electrode_conductor_for
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.quantities.siting_buildings import (
    are_one_structure,
    building_of,
    has_several_structures,
    is_in_second_building,
    outside_supplies,
)
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.site.building import STRUCTURE_USES
from permitgen.system.walks.array_place import is_array_on_building

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


class ElectrodePlace(Enum):
    """The value is what findings say of electrodes that are not those of the service."""

    SERVICE = ""
    SECOND_BUILDING = "the electrodes of a second building (see outside-grounding)"
    POLE = "the electrodes of a pole or pedestal (see outside-grounding)"
    APART = "the electrodes of a structure apart from the buildings (see auxiliary-electrode)"

    @property
    def is_at_building(self) -> bool:
        """Whether there may be piping and communications that are bonded to the electrodes."""
        return self in (ElectrodePlace.SERVICE, ElectrodePlace.SECOND_BUILDING)


def electrode_place(given: Given, item: GroundingElectrodeSystem) -> ElectrodePlace:
    """Return at what electrodes stand, remembered; what ends nowhere known is taken for the service's.

    Raises:
        MissingFactError: the conductor ends on the ground outdoors, and neither words nor the plan tell whether at a building; or it
            ends at equipment of no stated place where several buildings are known.
    """
    return given.once_for_topology(("electrode place", item.tag, item.lands_at), lambda: _find(given, item))


def _find(given: Given, item: GroundingElectrodeSystem) -> ElectrodePlace:
    landings = [given.system.equipment[tag] for tag in item.lands_at if tag in given.system.equipment]
    if not landings or any(_is_of_service(given, each) for each in landings):
        return ElectrodePlace.SERVICE
    _ask_for_silent_places(given, landings)
    if all(_is_at_second_building(given, each) for each in landings):
        uses = {given.system.site.stated_building(_building(given, each)).use for each in landings}
        return ElectrodePlace.POLE if uses <= set(STRUCTURE_USES) else ElectrodePlace.SECOND_BUILDING
    return ElectrodePlace.APART if all(_stands_apart(given, each) for each in landings) else ElectrodePlace.SERVICE


def _ask_for_silent_places(given: Given, landings: Sequence[Equipment]) -> None:
    """Equipment of which no place is stated may stand at any of several buildings, a generator also on a pad by itself."""
    silent = [each for each in landings if each.place is None and not isinstance(each, PVArray)]
    several = has_several_structures(given)
    asked = [f"building of {each.tag}" for each in silent if several]
    asked += [f"place of {each.tag}" for each in silent if not several and not each.is_of_a_building]
    if asked:
        raise MissingFactError(*asked)


def _building(given: Given, item: Equipment) -> str:
    return item.on_building if isinstance(item, PVArray) else building_of(given, item.tag)


def _is_of_service(given: Given, item: Equipment) -> bool:
    side = service_side(given)
    ahead = {node.split(".", maxsplit=1)[0] for node in side.ahead}
    return item.is_metering or item.tag in side.enclosures or item.tag in ahead


def _is_at_second_building(given: Given, item: Equipment) -> bool:
    if not isinstance(item, PVArray):
        return is_in_second_building(given, item)
    supplied = [supply.building for supply in outside_supplies(given) if supply.building]
    return bool(item.on_building) and any(are_one_structure(given, building, item.on_building) for building in supplied)


def _stands_apart(given: Given, item: Equipment) -> bool:
    if isinstance(item, PVArray):
        return not given.need(is_array_on_building(item), f"whether {item.tag} is on a building")
    place = item.place
    if place is None or not place.outdoors:
        return False
    if place.is_in_the_open:
        return True
    if place.x_ft is None and "ground" in place.space.casefold():
        raise MissingFactError(f"position of {item.tag} on the site plan, to show whether it stands at a building")
    return not building_of(given, item.tag)


def electrodes_apart_at(given: Given, tag: str) -> tuple[GroundingElectrodeSystem, ...]:
    """Return the electrodes apart from the buildings whose conductor ends at a piece of equipment."""
    systems = [each for each in given.system.equipment.values() if isinstance(each, GroundingElectrodeSystem) and tag in each.lands_at]
    return tuple(each for each in systems if electrode_place(given, each) is ElectrodePlace.APART)


def supply_area_apart(given: Given, item: GroundingElectrodeSystem) -> ServiceArea:
    """Return the area of the largest ungrounded conductors that end where the electrodes apart from the buildings do.

    Raises:
        MissingFactError: no circuit ends there, or a size is not stated.
    """
    tags = dict.fromkeys(tag for landing in item.lands_at for tag in given.system.circuits_at.get(landing, ()))
    areas = [area_of(given, [given.system.circuits[tag]]) for tag in tags]
    if not areas:
        raise MissingFactError(f"circuits that end at {', '.join(item.lands_at)}")
    return max(areas, key=lambda found: (electrode_conductor_for(given, found, "copper"), found.area_kcmil.number))
