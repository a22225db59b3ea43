"""An overcurrent device as a thing in its place: what it is, where it stands, and between which nodes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from permitgen.system.link import Link
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.system import System
    from permitgen.values.origin import ProjectLine


@dataclass(frozen=True, slots=True)
class InstalledDevice:
    """An overcurrent device where it is installed, wherever that is: at a circuit's end, inside a switch, as a main, behind a relay.

    ``tag`` is its id (``MSP.2``, ``DSC``, ``GEN.breaker``), ``link`` the connection of the graph that it opens, ``enclosure`` the tag of
    the equipment it stands in, ``circuit`` the tag of the circuit at whose end it was written, empty where it is part of equipment.
    """

    tag: str
    device: OvercurrentDevice
    link: Link
    enclosure: str
    circuit: str
    at: ProjectLine | None

    @property
    def name(self) -> str:
        """The words on its label, empty where it has none of its own."""
        return self.device.name

    @property
    def nodes(self) -> tuple[str, str]:
        """The nodes of the graph on both sides."""
        return (self.link.first, self.link.second)


def devices_of(system: System) -> Iterator[InstalledDevice]:
    """Yield every overcurrent device of the installation, in the order of the graph's links."""
    for link in system.graph.links:
        if link.device is None:
            continue
        heads = [node.split(".", maxsplit=1)[0] for node in (link.first, link.second)]
        enclosure = heads[0] if heads[0] in system.equipment else heads[1]
        circuit = next((head for head in heads if head in system.circuits), "")
        yield InstalledDevice(link.handle or link.part, link.device, link, enclosure, circuit, link.device.at)
