"""Available fault current at every node of the graph, in every mode, and the largest over the modes.

With the utility: its current beyond the conductors, and what the inverters on the premises add. Islanded: the inverters. On the
generator: the generator over its subtransient reactance, and the inverters that stay connected. The generator never runs in
parallel with the utility, so modes are compared, not added. Where the utility and equipment on the way both state a current, each is
carried to the node and the largest counts, so that a device passes only where it passes with all.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.fault_current import fault_current_ka, fault_current_of_reactance_a, inverter_fault_contribution_a
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import generator_current
from permitgen.rules.quantities.fault_current_known import known_starts
from permitgen.rules.quantities.fault_current_path import FaultBeyondConductors, fault_beyond
from permitgen.system.equipment.generator import Generator
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.equation import selected, sum_of
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource


def available_fault_current(given: Given, node: str) -> Value | None:
    """Return the largest fault current at a node over all modes, A; None where no ac source reaches it.

    Raises:
        MissingFactError: the utility's current, or what a source feeds into a fault, is not stated.
    """
    found = [value for mode in given.system.modes if (value := fault_current_in(given, node, mode)) is not None]
    if not found:
        return None
    largest = max(found, key=lambda value: value.number)
    if len(found) == 1:
        return largest
    return selected(
        largest.number, "a", by="largest of the modes", inputs=tuple(found), symbol="I_f", title=f"available fault current at {node}"
    )


def largest_at(given: Given, nodes: tuple[str, ...]) -> Value | None:
    """Return the largest fault current over several nodes, kA, the unit of ratings; None where no ac source reaches any.

    Raises:
        MissingFactError: as for ``available_fault_current``.
    """
    found = [value for node in nodes if (value := available_fault_current(given, node)) is not None]
    if not found:
        return None
    return fault_current_ka.derive(fault_current_a=max(found, key=lambda value: value.number))


def fault_current_in(given: Given, node: str, mode: OperatingMode) -> Value | None:
    """Return the fault current at a node in one mode, A; None where no ac source reaches it then."""
    return given.once(("fault current", node, mode), lambda: _in_mode(given, node, mode))


def _in_mode(given: Given, node: str, mode: OperatingMode) -> Value | None:
    sources = feeding_fault(given, node, mode)
    if not any(source.kind in ("utility", "generator") or source.forms_island for source in sources):
        return None
    return _sum(given, [_part_of(given, node, source) for source in sources], mode)


def _part_of(given: Given, node: str, source: PowerSource) -> Value:
    if source.kind == "utility":
        return beyond_conductors(given, node).largest_a
    return generator_fault_current(given, source) if source.kind == "generator" else contribution_of(given, source)


def feeding_fault(given: Given, node: str, mode: OperatingMode) -> list[PowerSource]:
    """Return the sources on ac that feed into a fault at a node in a mode: the utility or the generators of that mode, then inverters.

    The utility stands once, at however many points it comes in.
    """
    reached = connected(given, node, mode)
    sources = [source for source in given.system.sources.values() if source.node in reached and source.is_ac]
    utility = [source for source in sources if source.kind == "utility" and mode is OperatingMode.WITH_UTILITY]
    machines = [source for source in sources if source.kind == "generator" and mode is OperatingMode.ON_GENERATOR]
    return [*utility[:1], *machines, *(source for source in sources if source.kind not in ("utility", "generator"))]


def sources_beside_utility(given: Given, node: str) -> list[PowerSource]:
    """Return the inverters on ac that feed into a fault at a node beside the utility."""
    return [source for source in feeding_fault(given, node, OperatingMode.WITH_UTILITY) if source.kind != "utility"]


def connected(given: Given, node: str, mode: OperatingMode) -> frozenset[str]:
    """Return the nodes connected with ``node`` in a mode over ac conductors and closed contacts, remembered for all of them."""
    sets: dict[str, frozenset[str]] = given.once_for_topology(("connected", mode), dict)
    if node not in sets:
        found = frozenset(given.system.graph.reach([node], lambda link: _conducts(link, mode)))
        for other in found:
            sets[other] = found
    return sets[node]


def _conducts(link: Link, mode: OperatingMode) -> bool:
    return mode in link.closed_in and not link.is_converter


def beyond_conductors(given: Given, node: str) -> FaultBeyondConductors:
    """Return the utility's part of the fault current at a node with its cross-check: the largest of all that is known on the way.

    Raises:
        MissingFactError: nothing on the way states it, and the utility neither its fault current nor its transformer.
    """
    found = [fault_beyond(given, start.circuits, start.tag) for start in known_starts(given, node)]
    largest = max(found, key=lambda each: each.largest_a.number)
    if len(found) == 1:
        return largest
    currents = tuple(each.largest_a for each in found)
    return replace(
        largest,
        largest_a=selected(
            largest.largest_a.number, "a", by="larger of", inputs=currents, symbol="I_net", title=f"fault current of the utility at {node}"
        ),
    )


def turns_on(given: Given, nodes: tuple[str, ...]) -> str:
    """Return in words on which stated value the largest fault current over ``nodes`` turns; empty where only the utility states one."""
    mode = OperatingMode.WITH_UTILITY
    currents = {node: value.number for node in nodes if (value := available_fault_current(given, node)) is not None}
    node = max(currents, key=lambda each: currents[each], default=None)
    with_utility = fault_current_in(given, node, mode) if node is not None else None
    utility = set(given.system.utility_nodes)
    if node is None or with_utility is None or with_utility.number < currents[node] or not utility & connected(given, node, mode):
        return ""
    starts = known_starts(given, node)
    largest = max(starts, key=lambda start: fault_beyond(given, start.circuits, start.tag).largest_a.number)
    if largest.tag:
        return f", by the current stated at {largest.tag}"
    return ", by the current of the utility" if len(starts) > 1 else ""


def _sum(given: Given, parts: list[Value], mode: OperatingMode) -> Value:
    if len(parts) == 1:
        return parts[0].named("I_f", f"fault current {mode}")
    return sum_of(
        parts,
        symbol="I_f",
        title=f"fault current {mode}, contributions of inverters added to it",
        provision=given.provision("inverter_fault_current"),
    )


def contribution_of(given: Given, source: PowerSource) -> Value:
    """Return what an inverter feeds into a fault, A: its marked maximum, else its rated output by the usual factor.

    Raises:
        MissingFactError: neither is stated.
    """
    return given.once_for_topology(("fault contribution", source.id), lambda: _of_inverter(given, source))


def _of_inverter(given: Given, source: PowerSource) -> Value:
    name = source.id.replace(".", "_")
    if source.fault_current_a is not None:
        return source.fault_current_a.named(f"I_{name}", f"maximum output fault current of {source.id}")
    if source.output_a is None:
        raise MissingFactError(f"fault current of {source.id}")
    provision = given.provision("inverter_fault_current")
    return inverter_fault_contribution_a.derive(
        sustained_factor=provision.value("sustained_factor"),
        rated_current_a=source.output_a,
        provision=provision,
        symbol=f"I_{name}",
        title=f"fault contribution of {source.id}, not marked",
    )


def generator_fault_current(given: Given, source: PowerSource) -> Value:
    """Return what a generator feeds into a fault, A: by its subtransient reactance, else by one below that of any machine."""
    machine = given.system.equipment[source.tag]
    assert isinstance(machine, Generator)  # noqa: S101 - the source's kind says so
    reactance = machine.subtransient_reactance_percent
    if reactance is None:
        lowest = given.provision("generator_lowest_reactance").value("lowest_percent")
        reason = f"subtransient reactance of {source.tag} not stated; taken below that of any machine, which gives the largest current"
        reactance = Value(lowest.number, "percent", Assumed(reason), "X''d", f"subtransient reactance of {source.tag}")
    return fault_current_of_reactance_a.derive(
        rated_a=generator_current(given, machine), subtransient_percent=reactance, title=f"fault current of {source.tag}"
    )
