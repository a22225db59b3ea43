"""Whether a circuit carries the entire load of one dwelling, building by building and unit by unit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.building_use import house_of, is_one_family_at, is_small_dwelling_at, question, use_of
from permitgen.rules.quantities.dwelling_kind import ONE_AND_TWO_FAMILY, ONE_FAMILY
from permitgen.rules.quantities.dwelling_units import name_of, unit_at
from permitgen.rules.quantities.service_disconnects import reached_from
from permitgen.rules.quantities.siting_buildings import are_one_structure, are_told_apart, building_of, structure_of
from permitgen.system.walks.dwelling_load import load_places, loads_beside

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.site.building import DwellingUnit


def why_not_one_dwelling(given: Given, circuit: Circuit) -> str:
    """Return why a circuit does not carry the entire load of just one dwelling unit; empty where it does.

    What hangs on other buildings and structures does not count, on whichever side of the circuit. What stands in the open, and what
    does not say its building on a site with one, is the house's.

    Raises:
        MissingFactError: the answer rests on a building whose use, or whose standing apart from the dwelling, nobody states, or on
            the units of a two-family dwelling that nobody tells apart.
    """
    beside = loads_beside(given.system, circuit.tag)
    carried = sorted({node.split(".", maxsplit=1)[0] for node in load_places(given.system)} - set(beside))
    house = min(house_of(given), default="")
    of_tag = {tag: unit_at(given, tag) for tag in carried}
    units = [unit for unit in given.system.site.units if unit in of_tag.values()]
    if len(units) > 1:
        return f"it carries more than one dwelling unit: {', '.join(unit.name for unit in units)}"
    buildings = _buildings(given, [tag for tag, unit in of_tag.items() if unit is None], house)
    dwellings = {min(structure_of(given, name)): name for name in buildings if _may_be_dwelling(given, name, house)}
    if units:
        besides = {*dwellings.values(), *(structure_of(given, units[0].building) & set(buildings))}
        return _why_not_one_unit(given, units[0], besides, beside, house)
    if not dwellings:
        given.need(given.system.site.stated_dwelling or None, "kind of dwelling")
        return "it carries no dwelling"
    if len(dwellings) > 1:
        return f"it carries more than one dwelling: {', '.join(sorted(dwellings.values()))}"
    (dwelling,) = dwellings.values()
    return _why_not_one_building(given, dwelling, beside, house)


def _why_not_one_unit(given: Given, unit: DwellingUnit, besides: Collection[str], beside: tuple[str, ...], house: str) -> str:
    """The same of a circuit that carries loads of one dwelling unit; ``besides`` are dwellings of which it carries loads of no unit."""
    if besides:
        return f"it carries loads of {', '.join(sorted(besides))} that are not of {name_of(unit)}"
    own = [tag for tag in beside if unit_at(given, tag) is unit]
    left = [tag for tag in own if are_one_structure(given, _building(given, tag, house), unit.building)]
    return f"it does not carry the whole of {name_of(unit)}: {', '.join(left)} is connected elsewhere" if left else ""


def _why_not_one_building(given: Given, dwelling: str, beside: tuple[str, ...], house: str) -> str:
    """The same of a circuit that carries loads of one building without units of its own."""
    if any(given.system.site.stated_building(name).units for name in structure_of(given, dwelling)):
        return f"it carries loads of {dwelling} that are of no dwelling unit"
    if use_of(given, dwelling) == "two-family":
        given.need(None, f"the dwelling units of {dwelling} and what serves each (site.buildings, units)")
    left = [tag for tag in beside if unit_at(given, tag) is None and are_one_structure(given, _building(given, tag, house), dwelling)]
    if left:
        return f"it does not carry the whole dwelling: {', '.join(left)} is connected elsewhere"
    for name in _buildings(given, [tag for tag in beside if unit_at(given, tag) is None], house):
        given.need(are_told_apart(given, name, dwelling) or None, f"whether {name} is a building apart from {dwelling} (attached_to)")
    return ""


def _buildings(given: Given, tags: Iterable[str], house: str) -> list[str]:
    return sorted({_building(given, tag, house) for tag in tags})


def _building(given: Given, tag: str, house: str) -> str:
    return building_of(given, tag) or house


def _may_be_dwelling(given: Given, name: str, house: str) -> bool:
    """Whether a building is a dwelling; one of unknown use counts with the house unless it is known to stand apart.

    Raises:
        MissingFactError: it stands apart, and nobody says what it is used for.
    """
    answer = is_small_dwelling_at(given, name)
    if answer is None and (not house or are_told_apart(given, name, house)):
        given.need(None, question(name))
    return bool(answer)


def serves_one_family(given: Given, service: str) -> bool | None:
    """Whether a one-family dwelling is among the buildings that a service supplies; None where the project leaves it open.

    Where several buildings are supplied, directly or by feeders, one that is a one-family dwelling decides.
    """
    return _serves(given, service, is_one_family_at, ONE_FAMILY)


def serves_small_dwelling(given: Given, service: str) -> bool | None:
    """Whether a one- or two-family dwelling is among the buildings that a service supplies; None where the project leaves it open."""
    return _serves(given, service, is_small_dwelling_at, ONE_AND_TWO_FAMILY)


def _serves(given: Given, service: str, is_one: Callable[[Given, str], bool | None], kinds: frozenset[str]) -> bool | None:
    places = load_places(given.system) & reached_from(given, service)
    house = min(house_of(given), default="")
    buildings = {_building(given, node.split(".", maxsplit=1)[0], house) for node in places}
    answers = {is_one(given, name) for name in buildings if name}
    if not answers or "" in buildings:
        answers.add(given.system.site.dwelling in kinds)
    return True if True in answers else None if None in answers else False
