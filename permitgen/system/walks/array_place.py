"""Whether an array stands on a building, and the circuits that it feeds."""

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
    if space == "roof":
        return True
    return False if space == "ground" or "on_building" in array.absent else None


def is_array_on_roof(array: PVArray) -> bool:
    """Whether the modules are known to stand on the roof of a building; a carport or another structure without walls has none to climb."""
    return bool(is_array_on_building(array)) and array.answer("unenclosed_structure") is not True
