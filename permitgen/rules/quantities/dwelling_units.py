"""Dwelling units: which loads belong to which, and whose floor area gives the general load of a part of the installation.

A load belongs to the unit whose panel, main or meter it lies behind; a unit that is served from another one keeps its own. Outlets for
general use and lighting in a unit, in its garage and in its sheds are in the load by the floor area, wherever their panel hangs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.building_use import is_dwelling_at, is_elsewhere, possible_dwellings, question
from permitgen.rules.quantities.siting_buildings import building_of, structure_of
from permitgen.system.site.building import ACCESSORY_USES
from permitgen.system.walks.behind import nodes_behind
from permitgen.system.walks.dwelling_load import load_places
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from collections.abc import Collection

    from permitgen.rules.given import Given
    from permitgen.system.project_facts import Site
    from permitgen.system.site.building import DwellingUnit

    # What has a floor area: a unit, or the house that ``site`` describes.
    Dwelling = DwellingUnit | Site


def name_of(unit: DwellingUnit) -> str:
    """Return how findings and sheets call a unit."""
    return f"unit {unit.name}"


def nodes_of_unit(given: Given, unit: DwellingUnit) -> frozenset[str]:
    """Return the nodes through which only this unit is served: those behind what serves it, without the units behind it."""
    return _nodes_by_unit(given)[unit.building, unit.name]


def places_of_unit(given: Given, unit: DwellingUnit) -> frozenset[str]:
    """Return the nodes at which a unit uses energy."""
    return nodes_of_unit(given, unit) & load_places(given.system)


def _nodes_by_unit(given: Given) -> dict[tuple[str, str], frozenset[str]]:
    return given.once_for_topology("nodes by dwelling unit", lambda: _find(given))


def _find(given: Given) -> dict[tuple[str, str], frozenset[str]]:
    behind = {
        (unit.building, unit.name): nodes_behind(given.system, unit.served_by) if unit.served_by else frozenset()
        for unit in given.system.site.units
    }
    return {
        key: nodes - frozenset().union(*(inner for other, inner in behind.items() if other != key and inner < nodes))
        for key, nodes in behind.items()
    }


def unit_at(given: Given, tag: str) -> DwellingUnit | None:
    """Return the unit to which the loads of a panel or of utilization equipment belong; None where they belong to none."""
    own = {node for node in load_places(given.system) if node.split(".", maxsplit=1)[0] == tag} or {f"{tag}.bus", f"{tag}.input"}
    return next((unit for unit in given.system.site.units if own & nodes_of_unit(given, unit)), None)


def units_behind(given: Given, tag: str) -> tuple[DwellingUnit, ...]:
    """Return the units of which loads lie behind a piece of equipment, its own among them."""
    behind = nodes_behind(given.system, tag) & load_places(given.system)
    return tuple(unit for unit in given.system.site.units if behind & nodes_of_unit(given, unit))


def units_on(given: Given, tags: Collection[str]) -> tuple[DwellingUnit, ...]:
    """Return the units to which the loads of panels and equipment belong; none where some belong to no unit."""
    found = [unit_at(given, tag) for tag in tags]
    return tuple(unit for unit in given.system.site.units if unit in found) if all(found) else ()


def house_has_no_units(given: Given) -> bool:
    """Whether the floor area of ``site`` is that of a dwelling: of every one where no units are told apart, else of one without units.

    Raises:
        MissingFactError: nobody says whether a building without units is a dwelling, and no floor area is stated for it.
    """
    return given.once_for_topology("house without units", lambda: _house_has_no_units(given))


def _house_has_no_units(given: Given) -> bool:
    site = given.system.site
    if not site.units:
        return True
    with_units = {name for unit in site.units for name in structure_of(given, unit.building)}
    without = {name: is_one for name, is_one in possible_dwellings(given).items() if name not in with_units}
    if without and not any(without.values()) and site.floor_area_ft2 is None:
        raise MissingFactError(question(min(without)))
    return bool(without)


def whole_units(given: Given, nodes: Collection[str]) -> tuple[DwellingUnit, ...]:
    """Return the units whose every load lies on ``nodes``.

    Raises:
        MissingFactError: no load of a unit can lie behind what is said to serve it.
    """
    found = []
    for unit in given.system.site.units:
        own = places_of_unit(given, unit)
        if unit.served_by and not own:
            raise MissingFactError(f"what serves {name_of(unit)}; no load of its own lies behind {unit.served_by}")
        if own and own <= set(nodes):
            found.append(unit)
    return tuple(found)


def is_in_floor_area(given: Given, panel: str, dwellings: Collection[Dwelling]) -> bool:
    """Whether general loads on a panel are outlets that the floor areas of ``dwellings`` count already."""
    unit = unit_at(given, panel)
    if unit is not None:
        return unit in dwellings and (_stands_in(given, panel, unit.building) or is_accessory(given, panel))
    if given.system.site not in dwellings:
        return False
    return not is_elsewhere(given, panel) or is_accessory(given, panel)


def _stands_in(given: Given, panel: str, building: str) -> bool:
    """Whether a panel stands in a building, or does not say where it stands."""
    try:
        here = building_of(given, panel)
    except MissingFactError:
        return True
    return not here or here in structure_of(given, building)


def is_accessory(given: Given, tag: str) -> bool:
    """Whether equipment stands in a garage, carport or shed, whose outlets belong to the dwelling."""
    building = building_of(given, tag)
    uses = {given.system.site.stated_building(name).use for name in structure_of(given, building)} if building else set()
    return bool(uses) and uses <= set(ACCESSORY_USES)


def has_untold_units(given: Given) -> bool:
    """Whether there is a two-family dwelling whose units the project does not tell apart."""
    site = given.system.site
    stated = [building for building in site.buildings if building.use == "two-family"]
    return any(not building.units for building in stated) or (site.stated_dwelling == "two-family" and not site.units)


def is_of_several_dwellings(given: Given, tags: Collection[str]) -> bool:
    """Whether loads hang in more than one structure that is known to be a dwelling."""
    found = set()
    for tag in tags:
        try:
            building = building_of(given, tag)
            lived_in = bool(building) and is_dwelling_at(given, building)
        except MissingFactError:
            continue
        if lived_in:
            found.add(structure_of(given, building))
    return len(found) > 1
