"""Which handles part a PV array from all other wiring, and where its current joins other sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.walks.dc_circuits import inverters_fed
from permitgen.system.walks.rapid_shutdown import ac_nodes
from permitgen.system.walks.source_switches import link_of, separating_handles
from permitgen.system.walks.sources_on_busbar import supply_path
from permitgen.system.walks.stopped_sources import inverter_sources

if TYPE_CHECKING:
    from permitgen.system.equipment.inverter import Inverter
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.handle import Handle
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


def ac_sources_of(system: System, array: PVArray) -> tuple[PowerSource, ...]:
    """Return the ac sources of an array: its branches, or the inverters that its strings feed."""
    nodes = ac_nodes(system, array)
    return tuple(source for source in system.sources.values() if source.is_ac and source.node in nodes)


def inverters_of(system: System, array: PVArray) -> tuple[Inverter, ...]:
    """Return the inverters that the strings of an array feed, each once."""
    found = {i.tag: i for name in array.strings for i in inverters_fed(system, f"{array.tag}.{name}")}
    return tuple(found.values())


def shares_inverter_with_storage(system: System, array: PVArray) -> bool:
    """Whether a battery feeds the same inverter, so that its ac disconnect does not part the PV from everything."""
    tags = (tag for inverter in inverters_of(system, array) for tag in inverter_sources(system, inverter))
    return any(system.equipment[tag].kind == "energy_storage_system" for tag in tags)


def pv_disconnects(system: System, array: PVArray) -> tuple[Handle, ...]:
    """Return one handle that parts the whole array where there is one (a switch made for it first), else one for each branch.

    Behind a hybrid inverter only a dc handle parts the PV from the battery. Empty where no handle does: then it can only be a
    switch within the inverter.
    """
    strings = tuple(source for source in system.sources.values() if source.tag == array.tag and not source.is_ac)
    sources = strings if shares_inverter_with_storage(system, array) else ac_sources_of(system, array)
    together = _of_conductors(system, sources)
    if together:
        return (max(together, key=lambda handle: (handle.kind == "source disconnect", _accessible(handle))),)
    each = [_of_conductors(system, (source,)) for source in sources]
    if not all(each):
        return ()
    return tuple({handle.id: handle for handle in (max(found, key=_accessible) for found in each)}.values())


def interconnection_points(system: System, array: PVArray) -> tuple[Handle, ...]:
    """Return the handles at which the array's ac output joins other sources: those nearest the utility that still part it from them."""
    found: dict[str, Handle] = {}
    for source in ac_sources_of(system, array):
        ids = {handle.id for handle in _of_conductors(system, (source,))}
        on_path = [link.handle for link in supply_path(system, source.node) if link.handle in ids]
        if on_path:
            found[on_path[-1]] = system.handles[on_path[-1]]
    return tuple(found.values())


def _of_conductors(system: System, sources: tuple[PowerSource, ...]) -> list[Handle]:
    return [handle for handle in separating_handles(system, sources) if link_of(system, handle.id) is not None]


def _accessible(handle: Handle) -> int:
    if handle.place is None or handle.place.readily_accessible is None:
        return 1
    return 2 if handle.place.readily_accessible else 0
