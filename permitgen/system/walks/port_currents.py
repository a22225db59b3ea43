"""What the ports of an inverter let out: a port has one direction, or a limit, that nothing behind the inverter gets past."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter

if TYPE_CHECKING:
    from collections.abc import Collection, Container, Iterator

    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.port import Port
    from permitgen.system.link import Link
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.system import System


def port_at(system: System, circuit: Circuit, end: str) -> Port | None:
    """Return the port on which an end (``start`` or ``finish``) of a circuit lands; None where it lands on none that is described."""
    landing = circuit.start if end == "start" else circuit.finish
    item = system.equipment.get(landing.tag)
    return item.ports.get(landing.terminal) if isinstance(item, Inverter) and landing.terminal else None


def ends_at_input(system: System, circuit: Circuit, end: str) -> bool:
    """Whether an end lands where an inverter takes a generator in: it gives nothing there, unless its data sheet states what."""
    port = port_at(system, circuit, end)
    return port is not None and port.kind == "generator" and port.largest_output_a is None


def leads_to_input(system: System, link: Link, beyond: Container[str]) -> bool:
    """Whether a device has nothing ``beyond`` it but a circuit that ends where an inverter takes a generator in."""
    for node in (each for each in (link.first, link.second) if each in beyond):
        tag, _, end = node.partition(".")
        circuit = system.circuits.get(tag)
        if circuit is not None and ends_at_input(system, circuit, "finish" if end == "start" else "start"):
            return True
    return False


def behind_inputs(system: System, circuit: str, end: str, modes: Collection[OperatingMode]) -> frozenset[str]:
    """Return the nodes that an end of a circuit reaches only backwards through what takes a generator in: no current comes from there."""
    relays = {(f"{item.tag}.{port.name}", item.output_node) for item, port in _inputs(system)}
    if not relays:
        return frozenset()
    conductors = system.graph.conductors_of(circuit)
    every: set[str] = set()
    giving: set[str] = set()
    for mode in modes:
        every |= _walked(system, f"{circuit}.{end}", conductors, mode, frozenset())
        giving |= _walked(system, f"{circuit}.{end}", conductors, mode, frozenset(relays))
    return frozenset(every - giving)


def _inputs(system: System) -> Iterator[tuple[Inverter, Port]]:
    for item in system.equipment.values():
        if isinstance(item, Inverter):
            for port in item.ports.values():
                if port.kind == "generator" and port.largest_output_a is None:
                    yield item, port


def _walked(system: System, start: str, left_out: Link, mode: OperatingMode, one_way: frozenset[tuple[str, str]]) -> set[str]:
    """Return what a walk reaches in a mode; over the pairs of ``one_way`` it does not go from the first node to the second."""
    found, open_ = {start}, [start]
    while open_:
        node = open_.pop()
        for link in system.graph.at_node.get(node, ()):
            far = link.other(node)
            if link is not left_out and mode in link.closed_in and far not in found and (node, far) not in one_way:
                found.add(far)
                open_.append(far)
    return found
