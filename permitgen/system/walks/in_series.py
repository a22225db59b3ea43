"""What one current flows through: the circuits and the overcurrent devices in series with each other, mode by mode.

From the end of a circuit the walk goes on as long as the current cannot divide: through lugs, switches, relays, main breakers and
meters, to the next busbar, junction of three ways, converter or source. A fuse in a switch between two circuits is thus found from
both, and a breaker beyond a busbar from neither.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.link import Link
    from permitgen.system.system import System


def links_in_series(system: System, link: Link, node: str, mode: OperatingMode) -> tuple[Link, ...]:
    """Return the links that carry in ``mode`` just what ``link`` carries, going away from it at ``node``, nearest first."""
    buses = system.graph.once("nodes of busbars", lambda: frozenset(bus.node for bus in system.busbars.values()))
    found: list[Link] = []
    came, here = link, node
    while here not in buses:
        ways = [each for each in system.graph.at_node.get(here, ()) if each is not came and mode in each.closed_in]
        if len(ways) != 1 or ways[0].is_converter or ways[0] in found:
            break
        came = ways[0]
        found.append(came)
        here = came.other(here)
    return tuple(found)


def devices_in_series(system: System, circuit: Circuit) -> tuple[InstalledDevice, ...]:
    """Return the devices through which, in some mode, just the current of ``circuit`` flows, those toward its start first."""
    return system.graph.once(("devices in series", circuit.tag), lambda: _devices(system, circuit))


def first_device(system: System, circuit: Circuit, end: str) -> InstalledDevice | None:
    """Return the first device in series with ``circuit`` beyond its ``start`` or ``finish``, over all modes; None where there is none."""
    conductors = system.graph.conductors_of(circuit.tag)
    by_link = _by_link(system)
    for mode in OperatingMode:
        for link in links_in_series(system, conductors, f"{circuit.tag}.{end}", mode):
            if id(link) in by_link:
                return by_link[id(link)]
    return None


def links_of_circuit(system: System, circuit: Circuit) -> tuple[Link, ...]:
    """Return what just the current of ``circuit`` flows through beyond its ends, in any mode, each once, those toward its start first."""
    conductors = system.graph.conductors_of(circuit.tag)
    found: dict[int, Link] = {}
    for end in ("start", "finish"):
        for mode in OperatingMode:
            found.update({id(link): link for link in links_in_series(system, conductors, f"{circuit.tag}.{end}", mode)})
    return tuple(found.values())


def circuits_in_series(system: System, device: InstalledDevice) -> tuple[Circuit, ...]:
    """Return the circuits whose current, in some mode, flows through ``device`` alone, in the order of the file."""

    def find() -> tuple[Circuit, ...]:
        met = {
            link.circuit
            for mode in OperatingMode
            for node in device.nodes
            for link in links_in_series(system, device.link, node, mode)
            if link.circuit and mode in device.link.closed_in
        }
        return tuple(circuit for tag, circuit in system.circuits.items() if tag in met)

    tags = system.graph.once(("circuits in series", id(device.link)), lambda: tuple(circuit.tag for circuit in find()))
    return tuple(system.circuits[tag] for tag in tags)


def _by_link(system: System) -> dict[int, InstalledDevice]:
    return system.graph.once("devices by their link", lambda: {id(device.link): device for device in system.devices.values()})


def _devices(system: System, circuit: Circuit) -> tuple[InstalledDevice, ...]:
    conductors, by_link = system.graph.conductors_of(circuit.tag), _by_link(system)
    found: dict[str, InstalledDevice] = {}
    for end in ("start", "finish"):
        for mode in OperatingMode:
            for link in links_in_series(system, conductors, f"{circuit.tag}.{end}", mode):
                if id(link) in by_link:
                    found.setdefault(by_link[id(link)].tag, by_link[id(link)])
    return tuple(found.values())
