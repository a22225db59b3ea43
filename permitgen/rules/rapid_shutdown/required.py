"""Arrays with circuits on or in a building have rapid shutdown."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require
from permitgen.rules.quantities.array_buildings import building_of_array, buildings_of_array, circuits_met
from permitgen.rules.quantities.building_use import house_of, is_apart_from_house, is_dwelling_at
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_array_on_building
from permitgen.system.walks.rapid_shutdown import initiators
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "rapid-shutdown-required",
    title="Arrays with circuits on or in a building have rapid shutdown",
    provision="rapid_shutdown_required",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge whether an array needs rapid shutdown and something starts it.

    Requires: a device that starts rapid shutdown, for every array whose circuits are on or in a building.
    Why: firefighters must be able to make the conductors they cut and climb over harmless.
    Applies to: all but ground-mounted circuits into a building that only houses PV equipment; from 2023 neither to open structures by
        themselves nor to circuits of ground mounts and open structures that end on the outside of a building.
    Example that fails: a roof array without an initiator.
    Example that passes: a roof array with a rapid shutdown switch beside the meter.
    """
    exempt = exemption(array, given)
    if exempt is not None:
        return exempt
    found = [initiator.item.tag for initiator in initiators(given.system) if array.tag in initiator.arrays]
    by = f"is shut down by {' and '.join(found)}" if found else f"{_where(array, given)} and nothing starts its rapid shutdown"
    judgement = require(bool(found), f"{array.tag} {by}")
    return replace(judgement, doubt=_doubt(array, given))


def _where(array: PVArray, given: Given) -> str:
    if is_array_on_building(array):
        return "has circuits on or in a building"
    met = circuits_met(given, array)
    return f"has circuits on or in a building ({listed([*met.inside, *met.outside])})"


def exemption(array: PVArray, given: Given) -> Judgement | None:
    """Return why an array needs no rapid shutdown (or why that cannot be judged), None where it needs one."""
    on_building = is_array_on_building(array)
    if on_building is None:
        return not_judged(f"whether {array.tag} is on a building")
    if not on_building:
        return _of_ground_mount(array, given)
    if array.answer("unenclosed_structure") and given.in_force("rapid_shutdown_unenclosed_structure"):
        return _of_open_structure(array, given)
    return None


def _of_ground_mount(array: PVArray, given: Given) -> Judgement | None:
    met = circuits_met(given, array)
    if array.answer("pv_equipment_building") and _may_house_equipment_only(array, given):
        provision = given.provision("rapid_shutdown_pv_equipment_building")
        return does_not_apply(f"{array.tag}: its circuits enter a building that only houses PV equipment").under(provision)
    if met.inside or (met.outside and not given.in_force("rapid_shutdown_exterior_circuits")):
        return None
    if met.asked:
        return not_judged(*met.asked)
    return _of_exterior(array, given) if met.outside else does_not_apply(f"{array.tag} and its circuits touch no building")


def _may_house_equipment_only(array: PVArray, given: Given) -> bool:
    """Whether the circuits touch one building at most, and none that is known to be the house or a dwelling."""
    touched = buildings_of_array(given, array)
    return len(touched) <= 1 and not any(name in house_of(given) or is_dwelling_at(given, name) for name in touched if name)


def _of_open_structure(array: PVArray, given: Given) -> Judgement | None:
    """The structure itself and what stands on it are free, circuits that leave it only where they end outside of other buildings."""
    carrying = building_of_array(given, array)
    apart = is_apart_from_house(given, carrying)
    if apart is None:
        return not_judged(f"whether {carrying} stands by itself (site.buildings, attached_to)")
    if not apart:
        return None
    met = circuits_met(given, array, {carrying})
    if met.inside:
        return None
    if met.asked:
        return not_judged(*met.asked)
    if met.outside:
        return _of_exterior(array, given)
    provision = given.provision("rapid_shutdown_unenclosed_structure")
    return does_not_apply(f"{array.tag} is on a detached structure that is not enclosed").under(provision)


def _of_exterior(array: PVArray, given: Given) -> Judgement:
    because = f"{array.tag} is attached to no building, and its circuits end on the outside of one"
    return does_not_apply(because).under(given.provision("rapid_shutdown_exterior_circuits"))


def _doubt(array: PVArray, given: Given) -> str:
    if array.strings and given.provision("rapid_shutdown_controlled_conductors").flag("every_inverter_output"):
        return "this edition speaks of all PV system circuits; read literally, the ac output of the inverter is a controlled circuit too"
    return ""
