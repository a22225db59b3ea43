"""The buildings on or in which the dc circuits of a string are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.building_use import house_of, is_small_dwelling_at, question
from permitgen.rules.quantities.siting_buildings import building_of
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.site.building import STRUCTURE_USES
from permitgen.system.walks.array_place import array_circuits, is_array_on_building
from permitgen.system.walks.dc_circuits import dc_circuits
from permitgen.values.listed_words import listed
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from collections.abc import Set as AbstractSet

    from permitgen.rules.given import Given
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.raceway import Raceway


@dataclass(frozen=True, slots=True)
class Touched:
    """Where the circuits of an array meet buildings: tags of runs and equipment inside one or on its roof, and on its walls outside.

    ``asked`` are questions about runs and ends of which the project does not say where they are.
    """

    inside: tuple[str, ...] = ()
    outside: tuple[str, ...] = ()
    asked: tuple[str, ...] = ()


def buildings_of_string(given: Given, string: ArrayCircuit) -> tuple[str, ...]:
    """Return the buildings that a string and its dc circuits touch; an empty name stands for one that nobody names."""
    circuits = dc_circuits(given.system, f"{string.array.tag}.{string.name}")
    return _buildings(given, string.array, circuits)


def buildings_of_array(given: Given, array: PVArray) -> tuple[str, ...]:
    """Return the buildings that an array and its circuits touch, up to the first converter or device."""
    return _buildings(given, array, array_circuits(given.system, array))


def _buildings(given: Given, array: PVArray, circuits: Sequence[Circuit]) -> tuple[str, ...]:
    on_own_roof = is_array_on_building(array)
    found = [building_of_array(given, array)] if on_own_roof else []
    for circuit in circuits:
        runs = [given.system.raceways[tag] for tag in circuit.runs]
        ends = [name for end in circuit.ends if (name := _standing(given, end.tag)) is not None]
        found += [run.on_building for run in runs if run.on_building]
        found += [name for name in ends if name]
        unnamed = [run for run in runs if not run.on_building and (run.inside or (run.on_roof and not on_own_roof))]
        if "" in ends or (unnamed and not any(ends)):
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


def touches_building(given: Given, array: PVArray) -> bool | None:
    """Whether an array or one of its circuits is on or in a building; None where the project does not say.

    A ground-mounted array counts as soon as one of its circuits enters a building, runs along one or ends at one.
    """
    stands = is_array_on_building(array)
    if stands is None or stands:
        return stands
    met = circuits_met(given, array)
    return True if met.inside or met.outside else None if met.asked else False


def circuits_met(given: Given, array: PVArray, apart_from: AbstractSet[str] = frozenset()) -> Touched:
    """Return where the circuits of an array meet buildings other than those named, up to the first converter or device."""
    circuits = array_circuits(given.system, array)
    found = list(dict.fromkeys(pair for circuit in circuits for pair in _met(given, circuit, apart_from)))
    parts = {kind: tuple(what for each, what in found if each == kind) for kind in ("inside", "outside", "asked")}
    at_unknown = [what for kind, what in found if kind == "building"]
    ending = {tag: listed([each.tag for each in circuits if tag in {end.tag for end in each.ends}]) for tag in at_unknown}
    parts["asked"] += tuple(f"building of {tag}, at which {tags} {'end' if ' ' in tags else 'ends'}" for tag, tags in ending.items())
    return Touched(**parts)


def _met(given: Given, circuit: Circuit, apart_from: AbstractSet[str]) -> Iterator[tuple[str, str]]:
    """Yield what one circuit meets: ``inside``, ``outside`` or ``building`` with a tag, ``asked`` with a question."""
    if not circuit.runs:
        yield "asked", f"runs of {circuit.tag}, to show whether it enters a building"
    for tag in circuit.runs:
        run = given.system.raceways[tag]
        is_on_those = bool(run.on_building) and run.on_building in apart_from and run.inside is False
        if not is_on_those:
            yield from _of_run(run, may_be_on_own_roof=bool(apart_from))
    for end in circuit.ends:
        item = given.system.equipment[end.tag]
        if not isinstance(item, PVArray):
            yield from _of_end(given, item, apart_from)


def _of_run(run: Raceway, *, may_be_on_own_roof: bool) -> Iterator[tuple[str, str]]:
    if run.inside is None:
        yield "asked", f"whether {run.tag} is inside a building"
    elif run.on_roof and not run.on_building and may_be_on_own_roof:
        yield "asked", f"building of {run.tag}, on the roof of which it runs"
    elif run.inside or run.on_roof:
        yield "inside", run.tag
    elif run.on_building:
        yield "outside", run.tag


def _of_end(given: Given, item: Equipment, apart_from: AbstractSet[str]) -> Iterator[tuple[str, str]]:
    place = item.place
    if place is None:
        yield "asked", f"place of {item.tag}"
    elif place.outdoors is None:
        yield "asked", f"whether {item.tag} is outdoors"
    elif not place.outdoors:
        yield "inside", item.tag
    elif place.space != "ground":
        name = "" if place.is_building_assumed else _standing(given, item.tag)
        if name == "":
            yield "building", item.tag
        elif name is not None and name not in apart_from and given.system.site.stated_building(name).use not in STRUCTURE_USES:
            yield "outside", item.tag
