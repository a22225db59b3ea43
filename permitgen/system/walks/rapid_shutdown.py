"""Which devices start rapid shutdown of an array, and what keeps its inverters alive when ac is taken away."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.disconnect import RapidShutdownInitiator
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.dc_circuits import inverters_fed

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System

ROLE = "rapid shutdown initiator"


@dataclass(frozen=True, slots=True)
class Initiator:
    """A device whose off position starts rapid shutdown of ``arrays``: by a control loop, else by taking ac away."""

    item: Equipment
    handle: str
    arrays: tuple[str, ...]
    by_control: bool


def arrays_of(system: System) -> tuple[PVArray, ...]:
    """Return the arrays of the installation."""
    return tuple(item for item in system.equipment.values() if isinstance(item, PVArray))


def initiators(system: System) -> tuple[Initiator, ...]:
    """Return the initiators: switches made for it, and disconnects that have the role ``rapid shutdown initiator``."""
    found = []
    for item in system.equipment.values():
        if isinstance(item, RapidShutdownInitiator):
            found.append(Initiator(item, item.tag, item.shuts_down, by_control=True))
        elif ROLE in item.roles:
            handle = next((h.id for h in item.handles() if h.kind != "breaker"), "")
            found.append(Initiator(item, handle, _arrays_behind(system, handle), by_control=False))
    return tuple(found)


def _arrays_behind(system: System, handle: str) -> tuple[str, ...]:
    """Return the arrays whose way to the utility leads through ``handle``."""
    if not handle:
        return ()
    reached = system.graph.reach(system.utility_nodes, lambda link: link.handle != handle)
    return tuple(array.tag for array in arrays_of(system) if not any(node in reached for node in ac_nodes(system, array)))


def ac_nodes(system: System, array: PVArray) -> tuple[str, ...]:
    """Return the ac outputs of the inverters of an array: its branches, or the inverters its strings feed."""
    nodes = [f"{array.tag}.{name}" for name in array.branches]
    for name in array.strings:
        nodes += [inverter.output_node for inverter in inverters_fed(system, f"{array.tag}.{name}")]
    return tuple(dict.fromkeys(nodes))


def kept_alive_by(
    system: System, array: PVArray, opened: Collection[str], stopped: Collection[str], mode: OperatingMode
) -> tuple[PowerSource, ...]:
    """Return the sources that keep ac at the array's inverters in ``mode`` with ``opened`` handles open and ``stopped`` sources off.

    The utility and every source that forms an island keep ac alive; interactive inverters stop without it.
    """
    nodes = ac_nodes(system, array)
    reached = system.graph.reach(nodes, lambda link: mode in link.closed_in and link.handle not in opened)
    return tuple(
        source
        for source in system.sources.values()
        if source.is_ac and (source.kind == "utility" or source.forms_island) and source.node in reached and source.tag not in stopped
    )
