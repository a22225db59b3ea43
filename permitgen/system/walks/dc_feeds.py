"""What can drive current into one end of a dc circuit: batteries and strings, and inverters that charge, behind devices or without."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.walks.dc_circuits import inputs_on
from permitgen.system.walks.feeds import border_devices

if TYPE_CHECKING:
    from permitgen.system.equipment.inverter import Inverter
    from permitgen.system.link import Link
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System

Input = tuple["Inverter", str]
"""An inverter and the name of its dc port or terminal."""


@dataclass(frozen=True, slots=True)
class DcFeed:
    """The nearest device with a source or the input of an inverter behind it; ``link`` is where it sits."""

    link: Link
    device: OvercurrentDevice
    sources: tuple[PowerSource, ...]
    inputs: tuple[Input, ...]


@dataclass(frozen=True, slots=True)
class DcFeeds:
    """All that feeds an end: through ``devices``; ``sources`` and ``inputs`` reach it without one."""

    devices: tuple[DcFeed, ...]
    sources: tuple[PowerSource, ...]
    inputs: tuple[Input, ...]


def dc_feeds(system: System, circuit: str, end: str) -> DcFeeds:
    """Return what feeds the conductors of a dc circuit from its ``start`` or ``finish``, in any mode; converters are not passed."""
    return system.graph.once(("dc feeds", circuit, end), lambda: _find(system, circuit, end))


def _find(system: System, circuit: str, end: str) -> DcFeeds:
    inside, border = border_devices(system, f"{circuit}.{end}", None, (system.graph.conductors_of(circuit),))
    sources = tuple(source for source in system.sources.values() if not source.is_ac)
    behind = [
        DcFeed(each.link, each.device, tuple(s for s in sources if s.node in each.beyond), tuple(inputs_on(system, each.beyond)))
        for each in border
    ]
    devices = tuple(feed for feed in behind if feed.sources or feed.inputs)
    return DcFeeds(devices, tuple(s for s in sources if s.node in inside), tuple(inputs_on(system, inside)))
