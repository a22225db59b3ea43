"""What enters a box: the circuits that end there, their conductors by size, the raceways they come in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.circuit_current import role
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.raceway import Raceway
    from permitgen.values.conductor_size import ConductorSize


@dataclass(frozen=True, slots=True)
class Entering:
    """A circuit that ends at a box, the run in which it enters, and how many of its parallel sets do so there."""

    circuit: Circuit
    run: Raceway | None
    joint: str
    sets: int


def entering(given: Given, box: Equipment) -> tuple[Entering, ...]:
    """Return the circuits that end at a box with each run nearest to it; ``joint`` names what is spliced together."""
    found = []
    for circuit in given.system.circuits.values():
        for end in circuit.ends:
            if end.tag == box.tag:
                if not circuit.ways:
                    found.append(Entering(circuit, None, end.terminal, circuit.conductors.sets))
                found += [
                    Entering(circuit, given.system.raceways[tag], end.terminal, _sets_at(circuit, end, tag)) for tag in circuit.runs_at(end)
                ]
    return tuple(found)


def _sets_at(circuit: Circuit, end: End, tag: str) -> int:
    """Return how many sets come in through a run that ends here; one that passes it elsewhere on its way is not among them."""
    index = 0 if end is circuit.start else -1
    return circuit.sets_in_way * sum(way.runs[index] == tag for way in circuit.ways)


def insulated_conductors(given: Given, box: Equipment) -> dict[ConductorSize, int]:
    """Return how many ungrounded and neutral conductors of each size enter a box.

    Raises:
        MissingFactError: a size is not stated.
    """
    counts: dict[ConductorSize, int] = {}
    for each in entering(given, box):
        conductors = each.circuit.conductors
        size = given.need(conductors.size, f"conductor size of {each.circuit.tag}")
        counts[size] = counts.get(size, 0) + conductors.ungrounded_count * each.sets
        if conductors.has_neutral:
            neutral = conductors.neutral_size or size
            counts[neutral] = counts.get(neutral, 0) + each.sets
    return counts


def grounding_conductors(given: Given, box: Equipment) -> list[ConductorSize]:
    """Return the sizes of the equipment grounding conductors that enter a box, one for each."""
    found: list[ConductorSize] = []
    for each in entering(given, box):
        conductors = each.circuit.conductors
        if not conductors.has_wire_egc or conductors.egc_shared_with:
            continue
        if conductors.egc_size is None and role(given, each.circuit) is CircuitRole.SERVICE:
            continue
        size = given.need(conductors.egc_size, f"equipment grounding conductor size of {each.circuit.tag}")
        found += [size] * each.sets
    return found
