"""Which sources stop when certain handles are opened: by a control loop, or because an array loses the ac its inverters need."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.walks.dc_circuits import dc_nodes
from permitgen.system.walks.rapid_shutdown import arrays_of, initiators, kept_alive_by

if TYPE_CHECKING:
    from permitgen.system.system import System


def stopped_tags(system: System, opened: Iterable[str]) -> frozenset[str]:
    """Return the tags of the sources that stop when the handles ``opened`` are open.

    A handle stops what it controls. A disconnect that is an initiator stops the arrays behind it once nothing keeps ac alive
    at their inverters in any mode. An inverter stops with the last of the sources that feed it.
    """
    handles = frozenset(opened)
    stopped = {tag for handle in handles if handle in system.handles for tag in system.handles[handle].stops}
    stopped |= _without_direct_current(system, stopped)
    for initiator in initiators(system):
        if initiator.by_control or initiator.handle not in handles:
            continue
        for array in arrays_of(system):
            if array.tag in initiator.arrays and not any(kept_alive_by(system, array, handles, stopped, mode) for mode in system.modes):
                stopped.add(array.tag)
    return frozenset(stopped | _without_direct_current(system, stopped))


def _without_direct_current(system: System, stopped: set[str]) -> set[str]:
    """Return the inverters all of whose strings and batteries are stopped."""
    found = set()
    for item in system.equipment.values():
        if not isinstance(item, Inverter):
            continue
        feeding = inverter_sources(system, item)
        if feeding and feeding <= stopped:
            found.add(item.tag)
    return found


def inverter_sources(system: System, inverter: Inverter) -> frozenset[str]:
    """Return the tags of the dc sources joined to the inputs of an inverter."""
    nodes = {node for name in inverter.dc_inputs for node in dc_nodes(system, f"{inverter.tag}.{name}")}
    return frozenset(source.tag for source in system.sources.values() if not source.is_ac and source.node in nodes)
