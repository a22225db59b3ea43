"""What lies on either side of a circuit, and what the circuit therefore is."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass, replace
from enum import Enum
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.spanning_forest import Overlay, Region, SpanningForest, forest_in
from permitgen.system.walks.around_loop import branching
from permitgen.system.walks.port_currents import behind_inputs, ends_at_input
from permitgen.system.walks.sources_only import is_distribution

if TYPE_CHECKING:
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.link import Link
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
    has_busbars: bool
    nodes: Set[str]


def side_of(system: System, circuit: Circuit, start: str) -> Side:
    """Return what ``start`` (``start`` or ``finish``) of the circuit leads to when its conductors are taken away.

    All modes are overlaid: a source that can reach the circuit in any mode counts.
    """
    return system.graph.once(("side", circuit.tag, start), lambda: _side(system, circuit, start, tuple(OperatingMode)))


def side_in_mode(system: System, circuit: Circuit, start: str, mode: OperatingMode) -> Side:
    """Return the same for one mode."""
    return system.graph.once(("side", circuit.tag, start, mode), lambda: _side(system, circuit, start, (mode,)))


def _side(system: System, circuit: Circuit, start: str, modes: tuple[OperatingMode, ...]) -> Side:
    graph = system.graph
    forests = {forest_in(graph, mode): mode for mode in reversed(modes)}
    regions = tuple(_region(system, forest, forests[forest], circuit.tag, start) for forest in reversed(forests))
    side = _side_of_regions(system, regions)
    if ends_at_input(system, circuit, start):
        return replace(side, sources=())
    dead = behind_inputs(system, circuit, start, modes)
    if not dead:
        return side
    giving = tuple(source for source in side.sources if source.node not in dead)
    return replace(side, sources=giving, has_utility=any(source.kind == "utility" for source in giving))


def _region(system: System, forest: SpanningForest, mode: OperatingMode, circuit: str, start: str) -> Region:
    """Return what an end leads to without the conductors.

    Where a loop goes around them (two inverters between the same panels), what lies on the loop belongs to this side up to the place
    where the other end branches: what gets there flows on from there, not back around the loop.
    """
    conductors = system.graph.conductors_of(circuit)
    near = f"{circuit}.{start}"
    if forest.is_bridge(conductors):
        return forest.side(conductors, near)
    blocked = branching(system, conductors, conductors.other(near), mode)
    nodes = system.graph.reach(
        [near], lambda link: mode in link.closed_in and link is not conductors and blocked not in (link.first, link.second)
    )
    return forest.region_of(nodes)


def side_beyond(system: System, link: Link, node: str, mode: OperatingMode) -> Side:
    """Return what ``node`` leads to in ``mode`` when ``link`` is taken away."""
    return _side_of_regions(system, (forest_in(system.graph, mode).side(link, node),))


def _side_of_regions(system: System, regions: tuple[Region, ...]) -> Side:
    marks = [(region, _landmarks(system, region.forest)) for region in regions]
    nodes = Overlay(regions)
    used = sorted({each.uses[index] for region, each in marks for index in region.those_of(each.use_numbers)})
    items = tuple(system.equipment.values()) if used else ()
    sources = tuple(source for source in system.sources.values() if source.node in nodes)
    return Side(
        sources=sources,
        uses=tuple(items[index] for index in used),
        has_utility=any(source.kind == "utility" for source in sources),
        has_loads=bool(used) or any(region.has_any(each.loads) for region, each in marks),
        has_busbars=any(region.has_any(each.busbars) for region, each in marks),
        nodes=nodes,
    )


@dataclass(frozen=True, slots=True)
class _Landmarks:
    """Sorted node numbers of a forest: nodes of equipment that uses energy, with its place in the file; panels with loads; busbars."""

    use_numbers: tuple[int, ...]
    uses: tuple[int, ...]
    loads: tuple[int, ...]
    busbars: tuple[int, ...]


def _landmarks(system: System, forest: SpanningForest) -> _Landmarks:
    return system.graph.once(("landmarks", forest), lambda: _find_landmarks(system, forest))


def _find_landmarks(system: System, forest: SpanningForest) -> _Landmarks:
    places = {item.tag: place for place, item in enumerate(system.equipment.values()) if item.is_utilization_equipment}
    uses = [(number, places[tag]) for number, node in enumerate(forest.order) if (tag := node.split(".", maxsplit=1)[0]) in places]
    loads = {f"{load.panel}.bus" for load in system.loads.values()}
    loads |= {bus.node for bus in system.busbars.values() if is_distribution(system, system.equipment[bus.tag])}
    return _Landmarks(
        tuple(number for number, _ in uses),
        tuple(place for _, place in uses),
        _numbers(forest, loads),
        _numbers(forest, {bus.node for bus in system.busbars.values()}),
    )


def _numbers(forest: SpanningForest, nodes: Set[str]) -> tuple[int, ...]:
    return tuple(sorted(forest.number[node] for node in nodes if node in forest.number))


def role_of(system: System, circuit: Circuit) -> CircuitRole:
    """Return what the circuit is. Service conductors have no overcurrent device between them and the utility."""
    if circuit.is_dc:
        return _dc_role(system, circuit)
    sides = (side_of(system, circuit, "start"), side_of(system, circuit, "finish"))
    far = _side_without_utility(sides)
    if _is_service(system, circuit):
        return CircuitRole.SERVICE
    if far is None:
        return CircuitRole.FEEDER
    if far.has_loads and not any(s.kind != "vehicle" for s in far.sources):
        return CircuitRole.BRANCH if far.uses and not far.has_busbars else CircuitRole.FEEDER
    if far.has_loads:
        return CircuitRole.FEEDER
    return _source_role(far)


def _dc_role(system: System, circuit: Circuit) -> CircuitRole:
    """A hybrid inverter joins its battery and its strings through converters only, so the walk stops at those."""
    nodes = forest_in(system.graph, None, through_converters=False).component(f"{circuit.tag}.start")
    kinds = {s.kind for s in system.sources.values() if not s.is_ac and s.node in nodes}
    return CircuitRole.STORAGE_DC if "energy storage" in kinds and "photovoltaic" not in kinds else CircuitRole.PV_DC


def _side_without_utility(sides: tuple[Side, Side]) -> Side | None:
    without = [side for side in sides if not side.has_utility]
    return fewest_loads(without) if without else None


def fewest_loads(sides: Sequence[Side]) -> Side:
    """Return the side without loads; where that leaves a choice, the one with fewer nodes, which are counted only then."""
    fewest = [side for side in sides if not side.has_loads] or sides
    return fewest[0] if len(fewest) == 1 else min(fewest, key=lambda side: len(side.nodes))


def _is_service(system: System, circuit: Circuit) -> bool:
    reached = system.graph.once("ahead of every device", lambda: _ahead_of_devices(system))
    return f"{circuit.tag}.start" in reached or f"{circuit.tag}.finish" in reached


def _ahead_of_devices(system: System) -> Set[str]:
    with_utility = OperatingMode.WITH_UTILITY
    return frozenset(system.graph.reach(system.utility_nodes, lambda link: link.device is None and with_utility in link.closed_in))


def _source_role(far: Side) -> CircuitRole:
    kinds = {s.kind for s in far.sources}
    if kinds == {"generator"}:
        return CircuitRole.GENERATOR_OUTPUT
    if kinds == {"energy storage"}:
        return CircuitRole.STORAGE_AC
    if kinds <= {"photovoltaic"} and kinds:
        return CircuitRole.INVERTER_OUTPUT
    return CircuitRole.SOURCE_FEEDER if kinds else CircuitRole.FEEDER
