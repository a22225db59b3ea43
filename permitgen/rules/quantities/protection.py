"""Which overcurrent devices protect a circuit, from each end that can feed it."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.circuit_current import role, source_side
from permitgen.system.spanning_forest import forest_in
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.link import Link
    from permitgen.system.overcurrent_device import OvercurrentDevice


@dataclass(frozen=True, slots=True)
class ProtectingDevice:
    """A device that protects a circuit; ``part`` is where it sits, ``against`` what it protects from."""

    device: OvercurrentDevice
    part: str
    against: str


def devices_protecting(given: Given, circuit: Circuit) -> tuple[ProtectingDevice, ...]:
    """Return the devices that protect the conductors, the one against the utility first.

    Service conductors are protected at their load end by the service disconnect; every other circuit at the end nearer the
    utility, and against a generator by the device built into it.
    """
    return given.once(("protecting", circuit.tag), lambda: tuple(_find(given, circuit)))


def poles_of(given: Given, device: OvercurrentDevice, where: str) -> int:
    """Return how many poles of a device open together; ``where`` names it.

    Raises:
        MissingFactError: the file does not state them; those taken from the circuit are no proof that one handle opens all.
    """
    return given.need(device.poles if device.are_poles_stated else None, f"poles of the device of {where}")


def _find(given: Given, circuit: Circuit) -> list[ProtectingDevice]:
    system = given.system
    if role(given, circuit) is CircuitRole.SERVICE:
        reached = system.graph.reach(system.utility_nodes, lambda link: link.device is None)
        ends = [link for node in reached for link in system.graph.at_node.get(node, ()) if link.device is not None]
        downstream = [link for link in ends if link.device is not None and _beyond(given, circuit, link)]
        return [
            ProtectingDevice(link.device, link.part, "overload of the service conductors") for link in downstream if link.device is not None
        ]
    found: list[ProtectingDevice] = []
    toward = _first_device_toward_utility(given, circuit)
    if toward is not None and toward.device is not None:
        found.append(ProtectingDevice(toward.device, toward.part, "the utility and the other sources"))
    for source in source_side(given, circuit).sources:
        built_in = getattr(system.equipment[source.tag], "device", None) if source.kind == "generator" else None
        if built_in is not None:
            found.append(ProtectingDevice(built_in, f"{source.tag} built-in breaker", f"{source.tag}"))
    return found


def _beyond(given: Given, circuit: Circuit, link: Link) -> bool:
    """Whether ``link`` lies beyond ``circuit`` as seen from the utility."""
    without = given.system.graph.reach(given.system.utility_nodes, lambda other: other.device is None and other.circuit != circuit.tag)
    return link.first not in without and link.second not in without


def _first_device_toward_utility(given: Given, circuit: Circuit) -> Link | None:
    found, behind = _ways_from_utility(given, circuit)
    for end in (f"{circuit.tag}.start", f"{circuit.tag}.finish"):
        if end in found and end not in behind:
            return next((link for link in given.system.graph.path_back(found, end) if link.device is not None), None)
    return None


def _ways_from_utility(given: Given, circuit: Circuit) -> tuple[Mapping[str, Link | None], Set[str]]:
    """Return the ways from the utility with the conductors of ``circuit`` taken away, over all modes, and the nodes they miss.

    Nothing behind conductors that alone lead there changes the ways to the rest, so one walk serves all such circuits.
    """
    system, graph = given.system, given.system.graph
    conductors = graph.conductors_of(circuit.tag)
    ways = graph.once("from the utility in any mode", lambda: graph.reach(system.utility_nodes, lambda _: True))
    far = next((end for end in (conductors.first, conductors.second) if ways.get(end) is conductors), None)
    if far is None:
        return ways, frozenset()
    forest = forest_in(graph, None)
    if forest.is_bridge(conductors):
        return ways, forest.side(conductors, far)
    return graph.reach(system.utility_nodes, lambda link: link is not conductors), frozenset()
