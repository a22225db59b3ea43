"""The buildings on or in which the dc circuits of a string are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.building_use import house_of, is_small_dwelling_at, question
from permitgen.rules.quantities.siting_buildings import building_of
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.array_place import array_circuits, is_array_on_building
from permitgen.system.walks.dc_circuits import dc_circuits
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.circuit import Circuit


def buildings_of_string(given: Given, string: ArrayCircuit) -> tuple[str, ...]:
    """Return the buildings that a string and its dc circuits touch; an empty name stands for one that nobody names."""
    circuits = dc_circuits(given.system, f"{string.array.tag}.{string.name}")
    return _buildings(given, string.array, circuits)


def buildings_of_array(given: Given, array: PVArray) -> tuple[str, ...]:
    """Return the buildings that an array and its circuits touch, up to the first converter or device."""
    return _buildings(given, array, array_circuits(given.system, array))


def _buildings(given: Given, array: PVArray, circuits: Sequence[Circuit]) -> tuple[str, ...]:
    found = [building_of_array(given, array)] if is_array_on_building(array) else []
    for circuit in circuits:
        runs = [given.system.raceways[tag] for tag in circuit.runs]
        ends = [name for end in circuit.ends if (name := _standing(given, end.tag)) is not None]
        found += [run.on_building for run in runs if run.on_building]
        found += [name for name in ends if name]
        if "" in ends or (any(run.inside and not run.on_building for run in runs) and not any(ends)):
            found.append("")
    return tuple(dict.fromkeys(found))


def building_of_array(given: Given, array: PVArray) -> str:
    """Return the building that carries an array: as stated, else that of its place, else the house where it is the only one known."""
    if array.on_building:
        return array.on_building
    if array.place is not None and array.place.building:
        return array.place.building
    return min(house_of(given), default="")


def _standing(given: Given, tag: str) -> str | None:
    """Return the building of what a circuit ends at, empty where nobody says which, None where it stands at none or has no place."""
    item = given.system.equipment[tag]
    if isinstance(item, PVArray) or item.place is None:
        return None
    try:
        return building_of(given, tag) or None
    except MissingFactError:
        return ""


def touches_small_dwelling(given: Given, buildings: Sequence[str]) -> bool | None:
    """Whether one of several buildings is a one- or two-family dwelling; None where the project leaves it open."""
    answers = [is_small_dwelling_at(given, name) if name else None for name in buildings]
    return True if True in answers else None if None in answers or not answers else False


def of_unknown_use(given: Given, buildings: Sequence[str]) -> tuple[str, ...]:
    """Return what the project leaves open about several buildings, as questions."""
    named = [name for name in buildings if name and is_small_dwelling_at(given, name) is None]
    asked = [question(name) for name in named]
    return (*asked, *(("the building that these circuits enter",) if "" in buildings else ()))
