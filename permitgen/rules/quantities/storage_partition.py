"""Whether a wall parts a battery from what its dc circuit leads to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import at_most
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.length_of_ways import longest_way_ft
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment


@dataclass(frozen=True, slots=True)
class PartedBattery:
    """A storage unit whose circuit passes a wall or leads far; ``end`` (``start`` or ``finish``) is the circuit's end at it."""

    unit: EnergyStorageSystem
    end: str
    why: str


def parted_from(given: Given, circuit: Circuit) -> PartedBattery | None:
    """Return the battery of a dc circuit that leaves its space, or in 2017 leads further than the edition's distance; None elsewhere.

    Raises:
        MissingFactError: the space or the building of one of the two is not stated, or the length where it counts.
    """
    if role(given, circuit) is not CircuitRole.STORAGE_DC:
        return None
    first, second = (given.system.equipment[end.tag] for end in circuit.ends)
    if isinstance(first, EnergyStorageSystem) is isinstance(second, EnergyStorageSystem):
        return None
    unit, other, end = (first, second, "start") if isinstance(first, EnergyStorageSystem) else (second, first, "finish")
    assert isinstance(unit, EnergyStorageSystem)  # noqa: S101 - one of the two is, and the line above took that one
    if _space(unit) != _space(other):
        return PartedBattery(unit, end, f"parted from {other.tag} by a wall")
    provision = given.provision("ess_battery_separation")
    if provision.has("within_ft") and not at_most(longest_way_ft(given, circuit, f"length of {circuit.tag}"), provision.value("within_ft")):
        return PartedBattery(unit, end, f"further from {other.tag} than {provision.value('within_ft').length}")
    return None


def _space(item: Equipment) -> tuple[str, str, bool | None]:
    place = item.place
    if place is None or not place.space:
        raise MissingFactError(f"space in which {item.tag} stands (place, space)")
    return (place.building, place.space, place.outdoors)
