"""Which conductors are told apart in which way: by use, by polarity, and by whether they may be marked at their ends only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from permitgen.rules.quantities.circuit_current import role
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit

Use = Literal["ungrounded", "neutral", "neutral marked at ends", "ground", "ground marked at ends", "PV polarity", "dc polarity"]


@dataclass(frozen=True, slots=True)
class Identification:
    """One way of identifying conductors, the circuits that have such conductors, and the provision that asks for it."""

    use: Use
    circuits: tuple[str, ...]
    provision: str


_PROVISIONS: dict[Use, str] = {
    "ungrounded": "ungrounded_conductor_identification",
    "neutral": "grounded_conductor_identification",
    "neutral marked at ends": "grounded_conductor_identification",
    "ground": "grounding_conductor_identification",
    "ground marked at ends": "grounding_conductor_identification",
    "PV polarity": "pv_circuit_identification",
    "dc polarity": "ungrounded_conductor_identification",
}


def identifications(given: Given) -> tuple[Identification, ...]:
    """Return the ways in which the conductors of new circuits are identified, each with its circuits; ways that nothing needs are left out.

    A service without equipment grounding conductor has none to identify, nor has a circuit of which no neutral is stated; a size that is
    open counts as not markable at the ends.
    """
    found: dict[Use, list[str]] = {use: [] for use in _PROVISIONS}
    for circuit in given.system.circuits.values():
        if not circuit.existing:
            for use in uses_of(given, circuit):
                found[use].append(circuit.tag)
    ways = (Identification(use, tuple(tags), _PROVISIONS[use]) for use, tags in found.items() if tags)
    return tuple(way for way in ways if given.in_force(way.provision))


def uses_of(given: Given, circuit: Circuit) -> list[Use]:
    """Return the uses of the conductors of one circuit: those that carry its current first, then neutral and ground where it has them."""
    conductors = circuit.conductors
    found: list[Use] = ["ungrounded"]
    if circuit.is_dc:
        found = ["PV polarity" if role(given, circuit) is CircuitRole.PV_DC else "dc polarity"]
    if conductors.neutral:
        size = conductors.neutral_size or conductors.size
        found.append("neutral marked at ends" if _is_large(given, "grounded_conductor_identification", size) else "neutral")
    if conductors.has_wire_egc and conductors.egc_size is not None and not conductors.has_bare_egc:
        large = _is_large(given, "grounding_conductor_identification", conductors.egc_size)
        found.append("ground marked at ends" if large else "ground")
    return found


def _is_large(given: Given, provision: str, size: ConductorSize | None) -> bool:
    found = given.code.provision(provision)
    return size is not None and found.is_in_force and size >= ConductorSize(found.text("marked_from_size"))
