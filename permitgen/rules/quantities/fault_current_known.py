"""Where on the way from the utility the fault current is known: at the service point, and at equipment that states it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.fault_current_source import utility_of
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.link import Link


@dataclass(frozen=True, slots=True)
class KnownStart:
    """Where a current is known, an empty ``tag`` for the utility, and the circuits from there to the node, nearest to it first."""

    tag: str
    circuits: tuple[Circuit, ...]


def circuits_from_utility(given: Given, node: str) -> tuple[Circuit, ...]:
    """Return the circuits between the service point and a node, those nearest to the service point first."""
    tags = given.once_for_topology(("circuits from the utility", node), lambda: _circuits(_path(given, node)))
    return tuple(given.system.circuits[tag] for tag in tags)


def known_starts(given: Given, node: str) -> tuple[KnownStart, ...]:
    """Return where the utility's current is known on the way to ``node``, the utility first.

    The utility is left out where it says nothing and something on the way does. What lies beyond the node is no matter of it.
    """
    found = given.once_for_topology(("known starts", node), lambda: _starts(given, node))
    circuits = given.system.circuits
    return tuple(KnownStart(start, tuple(circuits[tag] for tag in tags)) for start, tags in found)


def _starts(given: Given, node: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return where the current is known and the tags of the circuits from there."""
    path = _path(given, node)
    starts: dict[str, tuple[str, ...]] = {}
    for steps, tag in enumerate(_tags(path, node)):
        item = given.system.equipment.get(tag)
        if item is not None and item.tag not in starts and item.kind != "utility_service" and item.fact("available_fault_current"):
            starts[tag] = _circuits(path[:steps])
    utility = ("", _circuits(path))
    return (utility, *starts.items()) if _utility_says(given) or not starts else tuple(starts.items())


def nearest_node(given: Given, tag: str) -> str | None:
    """Return the node of a piece of equipment that lies nearest to the service point; None where the utility does not feed it."""
    nodes = [node for node in given.system.graph.at_node if node.split(".", maxsplit=1)[0] == tag]
    reached = {node: len(path) for node in nodes if (path := _path(given, node))}
    return min(reached, key=lambda node: reached[node], default=None)


def _utility_says(given: Given) -> bool:
    utility = utility_of(given)
    if utility is None:
        return False
    transformer = utility.transformer_kva is not None and utility.transformer_impedance_percent is not None
    return utility.available_fault_current_a is not None or transformer


def _path(given: Given, node: str) -> list[Link]:
    graph = given.system.graph
    mode = OperatingMode.WITH_UTILITY
    found = given.once_for_topology(
        "paths from the utility",
        lambda: graph.reach(given.system.utility_nodes, lambda link: mode in link.closed_in and not link.is_converter),
    )
    return graph.path_back(found, node)


def _tags(path: list[Link], node: str) -> list[str]:
    """Return the tags of the node and of every node behind it on the way back, one for each step."""
    nodes = [node]
    for link in path:
        nodes.append(link.other(nodes[-1]))
    return [each.split(".", maxsplit=1)[0] for each in nodes]


def _circuits(path: list[Link]) -> tuple[str, ...]:
    return tuple(link.circuit for link in reversed(path) if link.circuit)
