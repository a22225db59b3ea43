"""Whether an array, or the circuits it feeds, are on or in a building."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.walks.dc_circuits import dc_circuits

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.system import System

SMALL_DWELLINGS = ("one-family", "two-family", "townhouse")


def is_small_dwelling(system: System) -> bool:
    """Whether the premises are a one- or two-family dwelling; a townhouse counts as a one-family dwelling."""
    return system.site.dwelling in SMALL_DWELLINGS


def array_circuits(system: System, array: PVArray) -> tuple[Circuit, ...]:
    """Return the circuits of an array up to the first converter (strings) or up to the first device (branches)."""
    found: dict[str, Circuit] = {}
    for name in array.strings:
        found.update({c.tag: c for c in dc_circuits(system, f"{array.tag}.{name}")})
    for name in array.branches:
        nodes = system.graph.reach([f"{array.tag}.{name}"], lambda link: link.device is None)
        found.update({c.tag: c for c in system.circuits.values() if f"{c.tag}.start" in nodes})
    return tuple(found.values())


def is_array_on_building(array: PVArray) -> bool | None:
    """Whether the modules stand on a building; None where the project does not say."""
    if array.on_building or array.roof_planes:
        return True
    space = array.place.space if array.place is not None else ""
    if space == "ground":
        return False
    return True if space == "roof" else None


def is_array_on_roof(array: PVArray) -> bool:
    """Whether the modules are known to stand on the roof of a building; a carport or another structure without walls has none to climb."""
    return bool(is_array_on_building(array)) and array.answer("unenclosed_structure") is not True


def is_on_or_in_building(system: System, array: PVArray) -> bool | None:
    """Whether the array or one of its circuits is on or in a building; None where the project does not say.

    A ground-mounted array counts as soon as one of its circuits enters a building or runs along one.
    """
    stands = is_array_on_building(array)
    if stands is None or stands:
        return stands
    runs = [system.raceways[run] for circuit in array_circuits(system, array) for run in circuit.runs]
    if any(run.inside or bool(run.on_building) for run in runs):
        return True
    return None if any(run.inside is None for run in runs) else False
