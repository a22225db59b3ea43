"""What the ports of an inverter let out: a port has one direction, or a limit, that nothing behind the inverter gets past."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.spanning_forest import forest_in

if TYPE_CHECKING:
    from collections.abc import Collection, Container, Iterator

    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.port import Port
    from permitgen.system.link import Link
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.system import System
    from permitgen.values.value import Value


def port_at(system: System, circuit: Circuit, end: str) -> Port | None:
    """Return the port on which an end (``start`` or ``finish``) of a circuit lands; None where it lands on none that is described."""
    return port_of(system, landing_of(circuit, end))


def landing_of(circuit: Circuit, end: str) -> str:
    """Return the terminal on which an end (``start`` or ``finish``) of a circuit lands, as the node of the graph that a port is."""
    landing = circuit.start if end == "start" else circuit.finish
    return f"{landing.tag}.{landing.terminal}"


def port_of(system: System, node: str) -> Port | None:
    """Return the port that is a node of the graph; None where an inverter describes none there."""
    tag, _, name = node.partition(".")
    item = system.equipment.get(tag)
    return item.ports.get(name) if isinstance(item, Inverter) else None


def most_out_of(system: System, node: str) -> Value | None:
    """Return what a port lets out at most, A, whatever else passes the relay inside: stated, and more than the inverter makes itself.

    A figure that is not above the rated output says what the converters give; what passes the relay comes on top, so it bounds nothing.
    """
    port = port_of(system, node)
    limit = port.largest_output_a if port is not None else None
    item = system.equipment.get(node.partition(".")[0])
    own = item.output_a if isinstance(item, Inverter) else None
    return limit if limit is not None and own is not None and limit.number > own.number else None


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


def behind_inputs(system: System, circuit: Circuit, end: str, modes: Collection[OperatingMode]) -> frozenset[str]:
    """Return the nodes that an end of a circuit reaches only backwards through an input of an inverter: no current comes from there.

    Inputs are what takes a generator in and, seen from an ac circuit, the dc ports: what another inverter puts into a shared battery comes
    out of this one as its own output.
    """
    one_way = _generator_inputs(system) if circuit.is_dc else _generator_inputs(system) | _shared_dc_inputs(system)
    if not one_way:
        return frozenset()
    conductors = system.graph.conductors_of(circuit.tag)
    every: set[str] = set()
    giving: set[str] = set()
    for mode in modes:
        every |= _walked(system, f"{circuit.tag}.{end}", conductors, mode, frozenset())
        giving |= _walked(system, f"{circuit.tag}.{end}", conductors, mode, one_way)
    return frozenset(every - giving)


def _generator_inputs(system: System) -> frozenset[tuple[str, str]]:
    def find() -> frozenset[tuple[str, str]]:
        ports = ((item, port) for item in _inverters(system) for port in item.ports.values())
        return frozenset(
            (f"{item.tag}.{port.name}", item.output_node)
            for item, port in ports
            if port.kind == "generator" and port.largest_output_a is None
        )

    return system.graph.once("generator inputs", find)


def _shared_dc_inputs(system: System) -> frozenset[tuple[str, str]]:
    """Return the dc inputs, each with the output that it feeds, that hang together with one of another inverter."""

    def find() -> frozenset[tuple[str, str]]:
        inputs = [(item, f"{item.tag}.{name}") for item in _inverters(system) for name in item.dc_inputs]
        forest = forest_in(system.graph, None, through_converters=False)
        joined = {node: forest.component(node) for _, node in inputs if node in forest.number}
        shared = [(item, node) for item, node in inputs if any(far in joined.get(node, ()) for other, far in inputs if other is not item)]
        return frozenset((node, item.output_node) for item, node in shared)

    return system.graph.once("shared dc inputs", find)


def _inverters(system: System) -> Iterator[Inverter]:
    return (item for item in system.equipment.values() if isinstance(item, Inverter))


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
