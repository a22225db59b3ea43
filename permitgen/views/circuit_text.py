"""Circuits in the trade's shorthand: conductors, devices, runs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.protection import devices_protecting
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.conductors import Conductors
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.raceway import Raceway
    from permitgen.system.system import System

_MATERIAL = {"copper": "Cu", "aluminum": "Al"}


def conductor_text(circuit: Circuit) -> str:
    """Return for example ``2 × 6 AWG Cu THWN-2, neutral 6 AWG, ground 10 AWG Cu``."""
    ground = ground_text(circuit.conductors)
    return f"{wires_text(circuit)}, {ground}" if ground else wires_text(circuit)


def wires_text(circuit: Circuit) -> str:
    """Return the conductors without their ground: ``2 × 6 AWG Cu THWN-2, neutral 6 AWG``."""
    conductors = circuit.conductors
    size = str(conductors.size) if conductors.size is not None else "size open"
    sets = f"{conductors.sets} sets of " if conductors.sets > 1 else ""
    parts = [f"{sets}{conductors.ungrounded_count} × {size} {_MATERIAL[conductors.material]} {conductors.insulation}"]
    if conductors.neutral:
        parts.append(f"neutral {conductors.neutral_size or size}")
    elif conductors.neutral is None:
        parts.append("neutral not stated")
    return ", ".join(parts)


def ground_text(conductors: Conductors) -> str:
    """Return the equipment grounding conductor in words, or an empty string."""
    if conductors.egc_shared_with:
        return f"EGC shared with {conductors.egc_shared_with}"
    if conductors.has_no_egc:
        return "no EGC"
    if not conductors.has_wire_egc:
        return "raceway as EGC"
    return f"EGC {conductors.egc_size} {_MATERIAL[conductors.egc_material]}" if conductors.egc_size is not None else ""


def device_text(device: OvercurrentDevice) -> str:
    """Return for example ``2P 60 A``; fuses say so."""
    rating = value_text(device.rating_a) if device.rating_a is not None else "rating open"
    return f"{device.poles}P {rating}{' fuse' if device.kind == 'fuse' else ''}"


def labeled_device_text(device: OvercurrentDevice) -> str:
    """Return for example ``2P 60 A "BACKUP PANEL"``: the device with the words on its label, where it has some."""
    return f'{device_text(device)} "{device.name}"' if device.name else device_text(device)


def device_texts(given: Given, circuit: Circuit) -> tuple[str, ...]:
    """Return the devices that protect a circuit, with where they sit."""
    return tuple(f"{labeled_device_text(found.device)} ({found.part})" for found in devices_protecting(given, circuit))


def runs_text(system: System, circuit: Circuit) -> str:
    """Return the runs of a circuit in order; where each set has its own, set by set, ``set A in R1: …; set B in R2: …``."""
    ways = [", ".join(run_text(system, tag) for tag in way.runs) for way in circuit.ways]
    if not circuit.is_split:
        return "".join(ways)
    return "; ".join(f"set {way.name} in {text}" for way, text in zip(circuit.ways, ways, strict=True))


def run_tags_text(circuit: Circuit) -> str:
    """Return the tags of a circuit's runs, ``R1, R2``; where each set has its own, ``A: R1; B: R2``."""
    if not circuit.is_split:
        return ", ".join(circuit.runs)
    return "; ".join(f"{way.name}: {', '.join(way.runs)}" for way in circuit.ways)


def run_text(system: System, tag: str) -> str:
    """Return for example ``R3: 2 in EMT, 26 ft``."""
    run = system.raceways[tag]
    length = f", {value_text(run.length_ft)}" if run.length_ft is not None else ""
    return f"{tag}: {run_words(run)}{length}"


def run_words(run: Raceway) -> str:
    """Return size and kind of a run: ``2 in EMT``, ``4 in × 4 in metal wireway``, ``NM-B cable``."""
    sides = [side for side in (run.fact("interior_width"), run.fact("interior_depth")) if side is not None]
    size = f"{run.trade_size} in " if run.trade_size else f"{' × '.join(map(value_text, sides))} " if sides else ""
    return f"{size}{run.kind}"
