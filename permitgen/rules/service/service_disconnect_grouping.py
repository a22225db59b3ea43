"""Several service disconnects of a building stand in one group.

Each occupancy of a building with several may have its own set of service-entrance conductors, and so its own place of disconnects, with
a directory at each; the accessory structures of a one-family dwelling may have theirs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, require
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.building_use import is_one_family_at, question, use_of
from permitgen.rules.quantities.dwelling_units import has_untold_units, units_behind
from permitgen.rules.quantities.grouped_places import groups_of
from permitgen.rules.quantities.service_disconnects import enclosures_of
from permitgen.rules.quantities.siting_buildings import building_of, structure_of
from permitgen.rules.rule import rule
from permitgen.system.site.building import NONHABITABLE_USES

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.equipment.utility_service import UtilityService


@rule(
    "service-disconnect-grouping",
    title="Several service disconnects of a building stand in one group",
    provision="service_disconnect_grouping",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge whether the service disconnects of a service stand together.

    Requires: the service disconnects at one wall of one space, or in sight of each other; those of each dwelling unit by
        themselves, or those of an accessory structure at it, where they have a set of service-entrance conductors of their own.
    Why: whoever opens one main of a house must find the others beside it.
    Applies to: services with disconnects in several enclosures; those of sources on the supply side are counted apart.
    Example that fails: one main on the house, one on the garage that is built onto it.
    Example that passes: two mains side by side.
    """
    items = [given.system.equipment[tag] for tag in enclosures_of(given, service.tag)]
    if len(items) < 2:
        return does_not_apply(f"{service.tag}: its service disconnects are in one enclosure, or it has none")
    structures: dict[frozenset[str], list[Equipment]] = {}
    for item in items:
        given.need(item.place, f"place of {item.tag}")
        building = building_of(given, item.tag)
        structures.setdefault(structure_of(given, building) if building else frozenset(), []).append(item)
    parts = parts_for(structures.values(), lambda each: _one_structure(given, each))
    if len(structures) > 1:
        parts += parts_for([tuple(structures)], lambda each: _several_structures(given, each))
    return all_of(f"{service.tag}: service disconnects {_named(items)} in groups", parts)


def _named(items: list[Equipment] | tuple[Equipment, ...]) -> str:
    return " and ".join(item.tag for item in items)


def _one_structure(given: Given, items: list[Equipment]) -> Judgement:
    groups = groups_of(given, items)
    message = f"{_named(items)}: {'in one group' if len(groups) == 1 else 'in different places'}"
    together = require(len(groups) == 1, message, method="one group")
    return together if together.holds else any_of(message, [together, _by_occupancy(given, groups)])


def _by_occupancy(given: Given, groups: tuple[tuple[Equipment, ...], ...]) -> Judgement:
    """Groups of which each serves dwelling units of its own."""
    provision = given.provision("service_entrance_sets")
    if has_untold_units(given):
        given.need(None, "the dwelling units and what serves each (site.buildings, units)")
    served = [{unit.name for item in group for unit in units_behind(given, item.tag)} for group in groups]
    names = [name for units in served for name in units]
    if not all(served) or len(names) != len(set(names)):
        return does_not_apply("the groups do not each serve dwelling units of their own").under(provision)
    message = "; ".join(f"{_named(group)} for unit {', '.join(sorted(units))}" for group, units in zip(groups, served, strict=True))
    return require(
        fact=True, message=f"{message}: a place of its own for each occupancy, with a directory at each", method="occupancies"
    ).under(provision)


def _several_structures(given: Given, structures: tuple[frozenset[str], ...]) -> Judgement:
    """A one-family dwelling and its accessory structures may each have a set of service-entrance conductors."""
    provision = given.provision("service_entrance_sets")
    names = [min(structure, default="") for structure in structures]
    homes = [name for name in names if name and is_one_family_at(given, name)]
    others = [name for name in names if name not in homes]
    for name in others:
        if not name or use_of(given, name) is None:
            given.need(None, question(name))
    uses = {given.system.site.stated_building(each).use for name in others for each in structure_of(given, name)}
    fits = len(homes) == 1 and uses <= set(NONHABITABLE_USES)
    message = f"service disconnects at {' and '.join(names)}, {'a' if fits else 'not a'} one-family dwelling and its accessory structures"
    return require(fits, message, method="accessory structures").under(provision)
