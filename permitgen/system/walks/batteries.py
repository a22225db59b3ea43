"""Which of the sources of the kind "energy storage" hold energy, and which only convert it.

A battery inverter is a source of its own on the graph, for its ac output is judged as one. What is counted, marked and named as a battery
is the equipment that holds the energy.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.walks.stopped_sources import inverter_sources

if TYPE_CHECKING:
    from permitgen.system.system import System


def batteries_among(system: System, tags: Iterable[str]) -> tuple[EnergyStorageSystem, ...]:
    """Return the equipment with these tags that holds energy, each once, in the order of ``tags``."""
    items = (system.equipment[tag] for tag in dict.fromkeys(tags))
    return tuple(item for item in items if isinstance(item, EnergyStorageSystem))


def inverters_without_battery(system: System, tags: Iterable[str]) -> tuple[Inverter, ...]:
    """Return the inverters with these tags whose battery is not described, so that nothing else stands for it."""
    items = (system.equipment[tag] for tag in dict.fromkeys(tags))
    inverters = (item for item in items if isinstance(item, Inverter))
    return tuple(item for item in inverters if not batteries_among(system, inverter_sources(system, item)))


def units_together(items: Iterable[EnergyStorageSystem]) -> int | None:
    """Return how many units these are together; None where one does not know its own."""
    counts = [item.unit_count for item in items]
    return None if None in counts else sum(count for count in counts if count is not None)
