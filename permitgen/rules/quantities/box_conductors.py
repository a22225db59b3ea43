"""What enters a box: the circuits that end there, their conductors by size, the raceways they come in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.circuit_current import role
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.raceway import Raceway
    from permitgen.values.conductor_size import ConductorSize


@dataclass(frozen=True, slots=True)
class Entering:
    """A circuit that ends at a box, and the run in which it enters."""

    circuit: Circuit
    run: Raceway | None
    joint: str


def entering(given: Given, box: Equipment) -> tuple[Entering, ...]:
    """Return the circuits that end at a box with the run nearest to it; ``joint`` names what is spliced together."""
    found = []
    for circuit in given.system.circuits.values():
        for end in circuit.ends:
            if end.tag == box.tag:
                tag = (circuit.runs[0] if end is circuit.start else circuit.runs[-1]) if circuit.runs else ""
                found.append(Entering(circuit, given.system.raceways.get(tag), end.terminal))
    return tuple(found)


def insulated_conductors(given: Given, box: Equipment) -> dict[ConductorSize, int]:
    """Return how many ungrounded and neutral conductors of each size enter a box.

    Raises:
        MissingFactError: a size is not stated.
    """
    counts: dict[ConductorSize, int] = {}
    for each in entering(given, box):
        conductors = each.circuit.conductors
        size = given.need(conductors.size, f"conductor size of {each.circuit.tag}")
        counts[size] = counts.get(size, 0) + conductors.ungrounded_count * conductors.sets
        if conductors.has_neutral:
            neutral = conductors.neutral_size or size
            counts[neutral] = counts.get(neutral, 0) + conductors.sets
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
        found += [size] * conductors.sets
    return found
