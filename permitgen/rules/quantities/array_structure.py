"""The structure that carries an array: what is fastened to it, and the circuits that lead to it from elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.array_buildings import building_of_array
from permitgen.rules.quantities.siting_buildings import building_of
from permitgen.system.walks.array_place import is_array_on_building
from permitgen.values.listed_words import listed
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.photovoltaic import PVArray


@dataclass(frozen=True, slots=True)
class ServingCircuits:
    """Circuits that cross to the structure of an array; ``asked`` are the questions on which it hangs whether it is a single one."""

    circuits: tuple[Circuit, ...]
    asked: tuple[str, ...] = ()

    @property
    def tags(self) -> str:
        """The tags of the circuits."""
        return listed([circuit.tag for circuit in self.circuits])


def circuits_to_structure(given: Given, array: PVArray) -> ServingCircuits:
    """Return the circuits between the structure of an array, with all that is fastened to it, and anything else.

    What is not known to be fastened to it is taken to stand apart; it is asked for where single or not hangs on the answer.
    """
    there, open_ends = _fastened(given, array, taken=False)
    circuits = _crossing(given, there)
    with_all, _ = _fastened(given, array, taken=True)
    if not open_ends or is_one_with_grounding(circuits) == is_one_with_grounding(_crossing(given, with_all)):
        return ServingCircuits(circuits)
    return ServingCircuits(circuits, tuple(f"whether {tag} is fastened to the structure of {array.tag}" for tag in open_ends))


def is_one_with_grounding(circuits: Sequence[Circuit]) -> bool:
    """Whether a single circuit, with an equipment grounding conductor, serves a structure."""
    return len(circuits) == 1 and not circuits[0].conductors.has_no_egc


def _fastened(given: Given, array: PVArray, *, taken: bool) -> tuple[frozenset[str], tuple[str, ...]]:
    """Return what is fastened to the structure, from circuit to circuit, and what nobody says of; ``taken`` counts that as fastened."""
    found, unknown, waiting = {array.tag}, [], [array.tag]
    while waiting:
        here = waiting.pop()
        for circuit in (given.system.circuits[tag] for tag in given.system.circuits_at.get(here, ())):
            for other in {end.tag for end in circuit.ends} - found:
                answer = _is_fastened(given, other, array)
                if answer is None and other not in unknown:
                    unknown.append(other)
                if answer or (answer is None and taken):
                    found.add(other)
                    waiting.append(other)
    return frozenset(found), tuple(unknown)


def _is_fastened(given: Given, tag: str, array: PVArray) -> bool | None:
    place = given.system.equipment[tag].place
    if place is None:
        return None
    if place.on_array is not None:
        return place.on_array == array.tag
    try:
        building = "" if place.is_building_assumed else building_of(given, tag)
    except MissingFactError:
        return None
    if is_array_on_building(array):
        return None if not building else building == building_of_array(given, array)
    return False if building or place.outdoors is False else None


def _crossing(given: Given, there: frozenset[str]) -> tuple[Circuit, ...]:
    return tuple(each for each in given.system.circuits.values() if len({end.tag in there for end in each.ends}) > 1)
