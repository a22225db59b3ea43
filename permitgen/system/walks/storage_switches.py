"""What parts a storage unit from all other wiring, or stops it by control: switches, breakers, emergency stops, wherever they stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.walks.source_switches import link_of, separating_handles
from permitgen.system.walks.stopped_sources import inverter_sources

if TYPE_CHECKING:
    from permitgen.system.handle import Handle
    from permitgen.system.system import System

BREAKER = "breaker"


def parting_handles(system: System, unit: EnergyStorageSystem) -> tuple[Handle, ...]:
    """Return the handles each of which parts the unit from every other source and every load; switches first, then breakers.

    The unit alone, the unit with the inverters that only it feeds, or all storage together: what opens one system as a whole opens each
    of its units.
    """
    found: dict[str, Handle] = {}
    for tags in _systems(system, unit):
        sources = tuple(source for source in system.sources.values() if source.tag in tags)
        found.update((handle.id, handle) for handle in separating_handles(system, sources) if not _is_of_fuses(system, handle))
    return tuple(sorted(found.values(), key=lambda handle: handle.kind == BREAKER))


def _is_of_fuses(system: System, handle: Handle) -> bool:
    """Whether only fuses stand there: nobody opens them in an emergency."""
    link = link_of(system, handle.id)
    return handle.kind == BREAKER and link is not None and link.device is not None and link.device.kind == "fuse"


def stopping_handles(system: System, unit: EnergyStorageSystem) -> tuple[Handle, ...]:
    """Return the handles that stop the unit by control."""
    return tuple(handle for handle in system.handles.values() if unit.tag in handle.stops)


def _systems(system: System, unit: EnergyStorageSystem) -> list[frozenset[str]]:
    """Return the tags that are one storage system with the unit, from the unit alone to all storage with its inverters."""
    units = frozenset(item.tag for item in system.equipment.values() if isinstance(item, EnergyStorageSystem))
    own, all_ = frozenset({unit.tag}), units | {unit.tag}
    return list(dict.fromkeys((own, own | _inverters_of(system, own), all_ | _inverters_of(system, all_))))


def _inverters_of(system: System, units: frozenset[str]) -> frozenset[str]:
    """Return the inverters that nothing but these units feeds."""
    items = (item for item in system.equipment.values() if isinstance(item, Inverter))
    feeding = ((item.tag, inverter_sources(system, item)) for item in items)
    return frozenset(tag for tag, sources in feeding if sources and sources <= units)
