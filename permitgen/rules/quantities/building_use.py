"""What a building is used for: the one place that rules ask, so that each limit is that of the building which it concerns.

What silence means: ``site.dwelling`` is the kind of the house, and of every other building that is said to be a dwelling without a kind
of its own. The house is the one structure that may be a dwelling where all others are said to be none. Without any plan it is also what
a file that names no building calls ``house``. Parts of one structure are one building: a garage built onto a dwelling belongs to it.
What another building is used for is not known where nobody says.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.dwelling_kind import ONE_AND_TWO_FAMILY, ONE_FAMILY
from permitgen.rules.quantities.siting_buildings import are_told_apart, building_of, structure_of
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.site.building import ALONE, DWELLING_USES, NONHABITABLE_USES
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from permitgen.rules.given import Given

NO_DWELLING = "no dwelling"
_UNNAMED = "house"


def use_of(given: Given, building: str) -> str | None:
    """Return what a building is: a kind of dwelling, ``no dwelling``, or None where the project does not say.

    Raises:
        MissingFactError: it is the house, or a dwelling without a kind of its own, and ``site.dwelling`` is not stated.
    """
    return given.once_for_topology(("use of building", building), lambda: _use(given, building))


def _use(given: Given, building: str) -> str | None:
    parts = structure_of(given, building)
    stated = {name: _stated_use(given, name) for name in parts}
    kinds = sorted({use for use in stated.values() if use and use not in (NO_DWELLING, _DWELLING)})
    if kinds:
        return kinds[0]
    if _DWELLING in stated.values():
        kind = given.system.site.dwelling
        return "other dwelling" if kind == "other" else kind
    if house_of(given) & parts:
        return given.system.site.dwelling
    return NO_DWELLING if all(stated.values()) else None


_DWELLING = "dwelling"


def _stated_use(given: Given, name: str) -> str | None:
    """Return a kind of dwelling, ``dwelling`` where no kind is stated, ``no dwelling``, None where the project does not say."""
    use = given.system.site.stated_building(name).use
    if use:
        return use if use in DWELLING_USES else NO_DWELLING
    drawn = given.system.site.plan.building(name)
    answer = drawn.dwelling if drawn is not None else None
    return None if answer is None else _DWELLING if answer else NO_DWELLING


def possible_dwellings(given: Given) -> dict[str, bool]:
    """Return the buildings that are not known to be none that people live in: True where the project says that they do."""
    site = given.system.site
    names = [*(drawn.name for drawn in site.plan.buildings), *(stated.name for stated in site.buildings)]
    uses = {name: _stated_use(given, name) for name in names}
    return {name: use is not None for name, use in uses.items() if use != NO_DWELLING}


def house_of(given: Given) -> frozenset[str]:
    """Return the names of the buildings that make the house of ``site.dwelling``; empty where nobody can tell which it is."""
    return given.once_for_topology("house", lambda: _house(given))


def _house(given: Given) -> frozenset[str]:
    site = given.system.site
    drawn = {building.name for building in site.plan.buildings}
    stated = drawn | {building.name for building in site.buildings}
    dwellings = {name for name in stated if _stated_use(given, name) not in (None, NO_DWELLING)}
    possible = dwellings or {name for name in drawn if _stated_use(given, name) is None}
    if not possible:
        possible = {name for name in stated | _named(given) if _stated_use(given, name) is None}
    structures = {structure_of(given, name) for name in possible}
    if len(structures) == 1:
        return next(iter(structures))
    if drawn or dwellings or (possible and _UNNAMED not in possible) or _stated_use(given, _UNNAMED) is not None:
        return frozenset()
    return structure_of(given, _UNNAMED)


def _named(given: Given) -> frozenset[str]:
    """The buildings at which equipment, arrays and runs are said to be."""
    system = given.system
    names = {item.place.building for item in system.equipment.values() if item.place is not None}
    names |= {item.on_building for item in system.equipment.values() if isinstance(item, PVArray)}
    return frozenset((names | {run.on_building for run in system.raceways.values()}) - {""})


def is_small_dwelling_at(given: Given, building: str) -> bool | None:
    """Whether a building is a one- or two-family dwelling or a townhouse; None where the project does not say."""
    return _is_among(given, building, ONE_AND_TWO_FAMILY)


def is_one_family_at(given: Given, building: str) -> bool | None:
    """Whether a building is a one-family dwelling; None where the project does not say."""
    return _is_among(given, building, ONE_FAMILY)


def _is_among(given: Given, building: str, kinds: frozenset[str]) -> bool | None:
    """Whether a building is a dwelling of some kinds; where the site's dwellings are of no such kind, silence is no either way."""
    use = use_of(given, building)
    if use is None:
        stated = given.system.site.stated_dwelling
        return False if stated and stated not in kinds else None
    return use in kinds


def is_dwelling_at(given: Given, building: str) -> bool | None:
    """Whether people live in a building; None where the project does not say.

    A house of the kind ``other`` is no dwelling, unless the plan says that it is one.
    """
    use = use_of(given, building)
    return None if use is None else use in DWELLING_USES


def dwellings_of(given: Given) -> tuple[frozenset[str], ...]:
    """Return the structures that are known to be dwellings, each by the names of its buildings, in the order of the file."""
    return given.once_for_topology("dwellings", lambda: _dwellings(given))


def _dwellings(given: Given) -> tuple[frozenset[str], ...]:
    site = given.system.site
    drawn = [building.name for building in site.plan.buildings]
    names = dict.fromkeys([*drawn, *(stated.name for stated in site.buildings), *sorted(_named(given))])
    return tuple(dict.fromkeys(structure_of(given, name) for name in names if is_dwelling_at(given, name)))


def is_of_small_dwelling(given: Given, tag: str) -> bool | None:
    """Whether equipment belongs to a one- or two-family dwelling or a townhouse: it stands in or at it, or at what belongs to it.

    A garage or the open ground belongs to the dwellings of the site; None where some of them are such and others are not.

    Raises:
        MissingFactError: ``site.dwelling`` is not stated, and nothing else tells.
    """
    building = _told_building(given, tag)
    if building and is_dwelling_at(given, building):
        return is_small_dwelling_at(given, building)
    kinds = {is_small_dwelling_at(given, min(names)) for names in dwellings_of(given)} or {given.system.site.dwelling in ONE_AND_TWO_FAMILY}
    return kinds.pop() if len(kinds) == 1 else None


def _told_building(given: Given, tag: str) -> str:
    """Return the building at which equipment stands; empty in the open and where nobody says."""
    try:
        return building_of(given, tag)
    except MissingFactError:
        return ""


def may_belong_to(given: Given, tag: str, dwelling: frozenset[str]) -> bool:
    """Whether equipment is not known to stand in or at another dwelling than this one."""
    building = _told_building(given, tag)
    return building in dwelling or not any(building in other for other in dwellings_of(given))


def is_elsewhere(given: Given, tag: str) -> bool:
    """Whether equipment is known to stand in another building or at another structure than the house."""
    return given.once_for_topology(("is elsewhere", tag), lambda: _is_elsewhere(given, tag))


def _is_elsewhere(given: Given, tag: str) -> bool:
    house = house_of(given)
    building = _told_building(given, tag)
    return bool(building and house) and building not in house and any(are_told_apart(given, building, name) for name in house)


def is_apart_from_house(given: Given, building: str) -> bool | None:
    """Whether a building is a structure of its own beside the house; None where the project does not tell."""
    house = house_of(given)
    if building in house or len(structure_of(given, building)) > 1:
        return False
    alone = given.system.site.stated_building(building).attached_to == ALONE
    return True if alone or (house and all(are_told_apart(given, building, name) for name in house)) else None


def is_detached_nonhabitable(given: Given, building: str) -> bool:
    """Whether a building and all that is one structure with it are garages, carports, barns, sheds: nobody lives or stays there."""
    uses = {given.system.site.stated_building(name).use for name in structure_of(given, building)}
    return uses <= set(NONHABITABLE_USES)


def has_sprinklers(given: Given, building: str) -> bool:
    """Whether a building has sprinklers throughout: ``site.sprinklers`` speaks of the house, other buildings for themselves."""
    own = {given.system.site.stated_building(name).sprinklers for name in structure_of(given, building)} - {None}
    if own:
        return own == {True}
    return building in house_of(given) and bool(given.system.site.answer("sprinklers"))


def question(building: str) -> str:
    """Return what is missing where a building's use is not known."""
    return f"whether {building} is a dwelling (site.buildings, use)" if building else "which building is the house (site.buildings, use)"
