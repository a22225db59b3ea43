"""Texts along the lines of the one-line diagram: overcurrent devices, conductors, runs, control circuits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.views.circuit_text import run_words
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.system import System
    from permitgen.values.conductor_size import ConductorSize

NO_BREAK = "\u00a0"
MATERIAL_MARKS = {"copper": "Cu", "aluminum": "Al"}


def device_text(device: OvercurrentDevice) -> str:
    """Return for example ``2P 60 A``."""
    rating = value_text(device.rating_a) if device.rating_a is not None else "size open"
    return f"{device.poles}P {rating}"


def interrupting_text(device: OvercurrentDevice) -> str:
    """Return the interrupting rating, or an empty string where the project does not state it."""
    return value_text(device.interrupting_rating_ka) + " IR" if device.interrupting_rating_ka is not None else ""


def size_text(size: ConductorSize | None) -> str:
    """Return a size as lines of the diagram print it: AWG numbers stand alone, kcmil sizes with their unit."""
    if size is None:
        return "size open"
    return str(size) if size.is_kcmil else size.name


def conductor_lines(system: System, circuit: Circuit) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the conductors and runs of a circuit at length and in short, line by line."""
    conductors = circuit.conductors
    size = size_text(conductors.size)
    sets = f"{conductors.sets} sets of " if conductors.sets > 1 else ""
    material = MATERIAL_MARKS[conductors.material]
    hot = f"{sets}({conductors.ungrounded_count}) {size} {material}"
    others = []
    if conductors.neutral:
        others.append(f"(1) {size_text(conductors.neutral_size or conductors.size)} N")
    elif conductors.neutral is None:
        others.append("N not stated")
    others += _ground(circuit)
    full = (f"{hot} {conductors.insulation}".rstrip(), *([", ".join(others)] if others else []), *_ways(system, circuit))
    short = [f"+ {_in_short(part)}".replace(" ", NO_BREAK) for part in others]
    brief = (" ".join((hot, *short)), *_ways(system, circuit))
    return full, brief


def _in_short(conductor: str) -> str:
    """Return ``10 G`` for ``(1) 10 G``, and ``C4 G`` for a ground that another circuit brings along."""
    shared = conductor.removeprefix("G with ")
    return f"{shared} G" if shared != conductor else conductor.removeprefix("(1) ")


def _ground(circuit: Circuit) -> list[str]:
    conductors = circuit.conductors
    if conductors.egc_shared_with:
        return [f"G with {conductors.egc_shared_with}"]
    if conductors.has_no_egc:
        return ["no G"]
    if not conductors.has_wire_egc:
        return ["raceway as EGC"]
    return [f"(1) {size_text(conductors.egc_size)} G"] if conductors.egc_size is not None else []


def _ways(system: System, circuit: Circuit) -> tuple[str, ...]:
    """Return the runs on one line; where each set has its own and they differ, one line a set."""
    lines = [line for way in circuit.ways for line in _runs(system, way.runs)]
    if not circuit.is_split:
        return tuple(lines)
    kinds = {line.partition(" ")[2] for line in lines}
    if len(kinds) == 1 and all(len(way.runs) == 1 for way in circuit.ways):
        return (f"{' and '.join(circuit.runs)}, each {kinds.pop()}",)
    return tuple(f"set {way.name}: {line}" for way, line in zip(circuit.ways, lines, strict=True))


def _runs(system: System, tags: tuple[str, ...]) -> tuple[str, ...]:
    texts = []
    for tag in tags:
        run = system.raceways[tag]
        texts.append(f"{tag} {run_words(run)}")
    return (", ".join(texts),) if texts else ()


def control_lines(system: System, controls: tuple[ControlCircuit, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what control circuits that run together are: purpose, supply, wire."""
    first = controls[0]
    purposes = tuple(dict.fromkeys(c.purpose for c in controls))
    supply = value_text(first.volts) if first.volts is not None else ""
    source_class = f"Class {first.source_class}" if first.source_class else "class not stated"
    wire = f"({2 * len(controls)}) {size_text(first.size)}"
    runs = _runs(system, tuple(dict.fromkeys(run for c in controls for run in c.runs)))
    return (*purposes, ", ".join(part for part in (supply, source_class) if part), wire, *runs), (
        purposes[0],
        ", ".join((wire, *dict.fromkeys(run for c in controls for run in c.runs))),
    )


def named(system: System, item: Equipment) -> str:
    """Return the name with the suffix that tells new from existing, where a system has both."""
    if item.kind == "utility_service" or not any(other.status == "existing" for other in system.equipment.values()):
        return item.name
    return f"{item.name}\u00a0{'(E)' if item.status == 'existing' else '(N)'}"


def place_text(item: Equipment) -> str:
    """Return where it stands, as a person there understands it."""
    return item.place.description if item.place is not None else ""
