"""What equipment a run reaches, and where it is sealed because of what lies at its two ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.circuit_current import role
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.raceway import Raceway


@dataclass(frozen=True, slots=True)
class Seal:
    """A run that is sealed: at which enclosures, why, and by which provision."""

    at: tuple[str, ...]
    why: str
    provision: str


def ends_of(given: Given, raceway: Raceway) -> tuple[Equipment, ...]:
    """Return the equipment at the ends of a run, read off the circuits and control circuits in it, each once."""
    found: list[str] = []
    for circuit in (given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag]):
        for way in circuit.ways:
            found += _touched(way.runs, raceway.tag, circuit.start.tag, circuit.finish.tag)
    for control in given.system.controls.values():
        if raceway.tag in control.runs:
            found += _touched(control.runs, raceway.tag, control.source, control.device)
    return tuple(given.system.equipment[tag] for tag in dict.fromkeys(found))


def _touched(runs: tuple[str, ...], run: str, start: str, finish: str) -> list[str]:
    return ([start] if runs[0] == run else []) + ([finish] if runs[-1] == run else [])


def seal_of(given: Given, raceway: Raceway) -> Seal | None:
    """Return where a raceway is sealed: from underground, and between indoors and outdoors; None where neither is so or known."""
    if not raceway.is_filled:
        return None
    ends = [item for item in ends_of(given, raceway) if item.kind != "utility_service"]
    tags = tuple(item.tag for item in ends)
    if raceway.underground:
        circuits = (given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag])
        is_service = any(role(given, circuit) is CircuitRole.SERVICE for circuit in circuits)
        return Seal(tags, "comes from underground", "service_raceway_seal" if is_service else "raceway_seal")
    outdoors = {item.place.outdoors for item in ends if item.place is not None and item.place.outdoors is not None}
    indoors = tuple(item.tag for item in ends if item.place is not None and item.place.outdoors is False)
    return Seal(indoors, "passes from outdoors to indoors", "raceway_seal") if outdoors == {True, False} else None
