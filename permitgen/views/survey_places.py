"""Where one stands to answer a question of the survey: at the meter, a panel, in a room, outside, on the roof, along a run."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.place import Place
    from permitgen.system.system import System

_NAME = re.compile(r"[\w.-]+")
_ROOF, _OUTSIDE, _AROUND = ("roof", "On the roof"), ("outside", "Outside"), ("around", "Around the house")
_INSIDE, _UNPLACED = ("inside", "Inside"), ("unplaced", "Not placed yet")
_LAST = (_ROOF[0], _AROUND[0], _UNPLACED[0])


@dataclass(frozen=True, slots=True)
class Spot:
    """What one stands at: the ``stand`` with its title, and there one thing with its own (both empty for the house as a whole)."""

    stand: str
    stand_title: str
    tag: str = ""
    title: str = ""


def spot_of(system: System, path: str, asked: str) -> Spot:
    """Return where a question is answered, by the key that answers it; where no key does, by the first tag in its words."""
    section, _, rest = path.partition(".")
    tag = rest.partition(".")[0]
    if section == "equipment" and tag in system.equipment:
        return _at(system, tag)
    if section == "circuits" and tag in system.circuits:
        return _along_circuit(system, system.circuits[tag], rest)
    if section == "raceways" and tag in system.raceways:
        return _along_run(system, tag)
    if section == "site":
        return Spot(*(_ROOF if "roof" in path else _AROUND))
    return next(_by_words(system, asked), Spot(*_AROUND))


def in_walking_order(system: System, stands: Iterable[str]) -> list[str]:
    """Return stands in the order in which the power passes them in the file, the roof and the house as a whole at the end."""
    order = list(dict.fromkeys(_stand(system.equipment[tag])[0] for tag in system.equipment))
    found = list(dict.fromkeys(stands))
    return sorted(found, key=lambda stand: (stand in _LAST, order.index(stand) if stand in order else len(order), _last(stand)))


def _last(stand: str) -> int:
    return _LAST.index(stand) if stand in _LAST else 0


def _by_words(system: System, asked: str) -> Iterator[Spot]:
    names = [name.rstrip(".").partition(".")[0] for name in _NAME.findall(asked)]
    yield from (_at(system, name) for name in names if name in system.equipment)
    yield from (_along_run(system, name) for name in names if name in system.raceways)
    yield from (_along_circuit(system, system.circuits[name], "") for name in names if name in system.circuits)


def _at(system: System, tag: str) -> Spot:
    item = system.equipment[tag]
    name = f"{item.name} ({tag})" if item.name and item.name != tag else tag
    where = item.place.description if item.place is not None else ""
    return Spot(*_stand(item), tag, f"{name}, {where}" if where else name)


def _along_circuit(system: System, circuit: Circuit, key: str) -> Spot:
    """A device of a circuit is seen in its enclosure, the circuit itself where it ends."""
    start = ".from_end." in f".{key}." or circuit.finish.tag not in system.equipment
    at = circuit.start.tag if start else circuit.finish.tag
    if ".overcurrent." in f".{key}." and at in system.equipment:
        return _at(system, at)
    stand = _stand(system.equipment[at]) if at in system.equipment else _AROUND
    return Spot(*stand, circuit.tag, f"Circuit {circuit.tag}, from {circuit.start.tag} to {circuit.finish.tag}")


def _along_run(system: System, tag: str) -> Spot:
    """A run is answered where its way leads: on the roof, else outside where it is buried or in the open air, else where it begins."""
    run = system.raceways[tag]
    circuits = [system.circuits[name] for name in system.circuits_in_run.get(tag, ())]
    ends = f", from {circuits[0].start.tag} to {circuits[0].finish.tag}" if circuits else ""
    begins = next((circuit.start.tag for circuit in circuits if circuit.start.tag in system.equipment), "")
    stand = _stand(system.equipment[begins]) if begins else _AROUND
    if run.on_roof:
        stand = _ROOF
    elif run.underground or run.in_open_air:
        stand = _OUTSIDE
    return Spot(*stand, tag, f"Run {tag} ({run.kind}){ends}")


def _stand(item: Equipment) -> tuple[str, str]:
    """Return the stand at which a piece of equipment is seen, and its title."""
    place = item.place
    if item.is_metering or item.kind == "utility_service":
        return "meter", "At the meter"
    if item.kind == "grounding_electrode_system":
        return _AROUND
    space = place.space if place is not None else ""
    if space == "roof" or (item.kind == "pv_array" and not space):
        return _ROOF
    if place is not None and space and not place.outdoors:
        return f"space {place.building} {space}", _titled(space, place.building)
    return _panel(item) if item.is_cabinet_with_bus else _by_weather(place)


def _panel(item: Equipment) -> tuple[str, str]:
    return f"panel {item.tag}", f"At the {item.name[:1].lower()}{item.name[1:]}" if item.name else f"At {item.tag}"


def _by_weather(place: Place | None) -> tuple[str, str]:
    if place is None or place.outdoors is None:
        return _UNPLACED
    return _OUTSIDE if place.outdoors else _INSIDE


def _titled(space: str, building: str) -> str:
    where = f", {building}" if building not in ("", "house", space) else ""
    return f"{space[:1].upper()}{space[1:]}{where}"
