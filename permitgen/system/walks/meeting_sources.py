"""Enclosures in which the power of several sources meets at overcurrent devices: more than one source reaches what they supply."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.graph import closed_in

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


def enclosures_of_several_sources(system: System, sources: Collection[PowerSource]) -> tuple[str, ...]:
    """Return the tags of the enclosures with overcurrent devices whose busbars or conductors two of ``sources`` or more can reach.

    They reach them on ac in one operating mode: a generator that has the house to itself meets nobody, and an open device supplies
    nothing. What lies behind an inverter is one source, the inverter. A panelboard has devices on its busbar by its definition
    (Article 100), whether the file names them or not.
    """
    tags: dict[str, None] = {}
    for mode in system.modes:
        reached = [_reached(system, source, mode) for source in sources if source.is_ac]
        tags |= dict.fromkeys(tag for tag, nodes in _with_devices(system, mode) if _count(reached, nodes) > 1)
    return tuple(tag for tag in system.equipment if tag in tags)


def _with_devices(system: System, mode: OperatingMode) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield enclosures and the nodes at their devices that are closed in ``mode``."""
    for device in system.devices.values():
        if mode in device.link.closed_in:
            yield device.enclosure, device.nodes
    for busbar in system.busbars.values():
        if isinstance(system.equipment[busbar.tag], Panelboard):
            yield busbar.tag, (busbar.node,)


def _reached(system: System, source: PowerSource, mode: OperatingMode) -> frozenset[str]:
    is_closed = closed_in(mode)
    return frozenset(system.graph.reach([source.node], lambda link: is_closed(link) and not link.is_converter))


def _count(reached: list[frozenset[str]], nodes: Collection[str]) -> int:
    return sum(not found.isdisjoint(nodes) for found in reached)
