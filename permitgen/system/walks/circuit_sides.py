"""What lies on either side of a circuit, and what the circuit therefore is."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


class CircuitRole(Enum):
    """What a circuit is, read off the graph."""

    SERVICE = "service conductors"
    FEEDER = "feeder"
    BRANCH = "branch circuit"
    PV_DC = "PV dc circuit"
    INVERTER_OUTPUT = "inverter output circuit"
    STORAGE_AC = "energy storage output circuit"
    STORAGE_DC = "energy storage dc circuit"
    GENERATOR_OUTPUT = "generator output circuit"
    SOURCE_FEEDER = "power source feeder"

    def __str__(self) -> str:
        return self.value

    @property
    def is_source_output(self) -> bool:
        """Whether the circuit carries only what sources put out."""
        return self in (
            CircuitRole.INVERTER_OUTPUT,
            CircuitRole.STORAGE_AC,
            CircuitRole.STORAGE_DC,
            CircuitRole.GENERATOR_OUTPUT,
            CircuitRole.SOURCE_FEEDER,
            CircuitRole.PV_DC,
        )


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a circuit, over all modes: the sources there, the equipment that uses energy, whether the utility is there."""

    sources: tuple[PowerSource, ...]
    uses: tuple[Equipment, ...]
    has_utility: bool
    has_loads: bool
    nodes: frozenset[str]


def side_of(system: System, circuit: Circuit, start: str) -> Side:
    """Return what ``start`` (``start`` or ``finish``) of the circuit leads to when its conductors are taken away.

    All modes are overlaid: a source that can reach the circuit in any mode counts.
    """
    nodes: set[str] = set()
    for mode in OperatingMode:
        nodes |= _nodes_in_mode(system, circuit, start, mode)
    return side_of_nodes(system, nodes)


def side_in_mode(system: System, circuit: Circuit, start: str, mode: OperatingMode) -> Side:
    """Return the same for one mode."""
    return side_of_nodes(system, _nodes_in_mode(system, circuit, start, mode))


def _nodes_in_mode(system: System, circuit: Circuit, start: str, mode: OperatingMode) -> frozenset[str]:
    def walk() -> frozenset[str]:
        return frozenset(system.graph.reach([f"{circuit.tag}.{start}"], lambda link: mode in link.closed_in and link.circuit != circuit.tag))

    return system.graph.once(("side of a circuit", circuit.tag, start, mode), walk)


def side_of_nodes(system: System, nodes: Set[str]) -> Side:
    """Return the sources, loads and equipment on a set of nodes."""
    sources = tuple(s for s in system.sources.values() if s.node in nodes)
    tags = {node.split(".", maxsplit=1)[0] for node in nodes}
    uses = tuple(item for item in system.equipment.values() if item.tag in tags and item.is_utilization_equipment)
    panels = {load.panel for load in system.loads.values()}
    has_loads = bool(uses) or any(f"{panel}.bus" in nodes for panel in panels)
    has_loads = has_loads or any(b.node in nodes and is_distribution(system.equipment[b.tag]) for b in system.busbars.values())
    return Side(sources, uses, any(s.kind == "utility" for s in sources), has_loads, frozenset(nodes))


def is_distribution(item: Equipment) -> bool:
    """A panelboard feeds loads unless it is a combining panel for sources only."""
    return item.kind == "panelboard" and not any("combiner" in role or "combining" in role for role in item.roles)


def role_of(system: System, circuit: Circuit) -> CircuitRole:
    """Return what the circuit is. Service conductors have no overcurrent device between them and the utility."""
    if circuit.is_dc:
        return _dc_role(system, circuit)
    sides = (side_of(system, circuit, "start"), side_of(system, circuit, "finish"))
    far = _side_without_utility(sides)
    if far is None:
        return CircuitRole.FEEDER
    if _is_service(system, circuit):
        return CircuitRole.SERVICE
    if far.has_loads and not any(s.kind != "vehicle" for s in far.sources):
        return CircuitRole.BRANCH if _is_branch(system, circuit, far) else CircuitRole.FEEDER
    if far.has_loads:
        return CircuitRole.FEEDER
    return _source_role(far)


def _dc_role(system: System, circuit: Circuit) -> CircuitRole:
    """A hybrid inverter joins its battery and its strings through converters only, so the walk stops at those."""
    nodes = system.graph.reach([f"{circuit.tag}.start"], lambda link: not link.is_converter)
    kinds = {s.kind for s in system.sources.values() if not s.is_ac and s.node in nodes}
    return CircuitRole.STORAGE_DC if "energy storage" in kinds and "photovoltaic" not in kinds else CircuitRole.PV_DC


def _side_without_utility(sides: tuple[Side, Side]) -> Side | None:
    without = [side for side in sides if not side.has_utility]
    if not without:
        return None
    return min(without, key=lambda side: (side.has_loads, len(side.nodes)))


def _is_service(system: System, circuit: Circuit) -> bool:
    reached = system.graph.reach(system.utility_nodes, lambda link: link.device is None and OperatingMode.WITH_UTILITY in link.closed_in)
    return f"{circuit.tag}.start" in reached or f"{circuit.tag}.finish" in reached


def _is_branch(system: System, circuit: Circuit, far: Side) -> bool:
    return bool(far.uses) and not any(b.node in far.nodes for b in system.busbars.values()) and bool(circuit.tag)


def _source_role(far: Side) -> CircuitRole:
    kinds = {s.kind for s in far.sources}
    if kinds == {"generator"}:
        return CircuitRole.GENERATOR_OUTPUT
    if kinds == {"energy storage"}:
        return CircuitRole.STORAGE_AC
    if kinds <= {"photovoltaic"} and kinds:
        return CircuitRole.INVERTER_OUTPUT
    return CircuitRole.SOURCE_FEEDER if kinds else CircuitRole.FEEDER
