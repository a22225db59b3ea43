"""Walks through an island: what joins it to the utility, how sources arrive at its busbar, where its neutral comes from."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class Arrival:
    """How a source arrives at the busbar of an interconnect device.

    ``kind`` is ``source terminal`` (with its name), ``breaker position``, ``load side`` or ``utility side``.
    """

    device: MicrogridInterconnectDevice
    kind: str
    terminal: str
    part: str


def interconnect_devices(system: System) -> tuple[MicrogridInterconnectDevice, ...]:
    """Return the interconnect devices of the installation."""
    return tuple(item for item in system.equipment.values() if isinstance(item, MicrogridInterconnectDevice))


def way_to_utility(system: System, source: PowerSource, mode: OperatingMode) -> tuple[str, ...]:
    """Return the parts on a closed way from a source to the utility in ``mode``, empty where there is none."""
    reached = system.graph.reach([source.node], closed_in(mode))
    utility = next((node for node in system.utility_nodes if node in reached), None)
    if utility is None:
        return ()
    return tuple(dict.fromkeys(link.circuit or link.part for link in reversed(system.graph.path_back(reached, utility))))


def devices_between(system: System, source: PowerSource) -> tuple[Equipment, ...]:
    """Return what may part a source from the utility: interconnect devices, transfer switches and inverter relays on its ways there.

    Way after way is looked at, each past the devices found before it, so that of two devices side by side both are told.
    """
    switches = {switch.tag: {switch.line_node, switch.island_node} for switch in system.islanding_switches}
    switches |= {tag: {f"{tag}.load"} for tag, item in system.equipment.items() if item.kind == "transfer_switch"}
    found: set[str] = set()
    while parting := _on_one_way(system, source, switches, found):
        found |= parting
    return tuple(item for item in system.equipment.values() if item.tag in found)


def _on_one_way(system: System, source: PowerSource, switches: Mapping[str, set[str]], found: Set[str]) -> set[str]:
    """Return the switches on one way to the utility that leads through none of those found; empty where there is no such way."""
    shut = {node for tag in found for node in switches[tag]}
    reached = system.graph.reach([source.node], lambda link: not {link.first, link.second} & shut)
    utility = next((node for node in system.utility_nodes if node in reached), None)
    if utility is None:
        return set()
    nodes = {name for link in system.graph.path_back(reached, utility) for name in (link.first, link.second)}
    return {tag for tag, of_switch in switches.items() if of_switch <= nodes} - found


def arrivals(system: System, source: PowerSource) -> tuple[Arrival, ...]:
    """Return every way by which a source can come to the busbar of an interconnect device, in whatever mode."""
    found = []
    for device in interconnect_devices(system):
        bus = f"{device.tag}.bus"
        for link in system.graph.at_node.get(bus, ()):
            far = link.other(bus)
            reached = system.graph.reach([far], lambda other, bus=bus: bus not in (other.first, other.second))  # type: ignore[misc]
            if source.node in reached:
                kind, terminal = _kind_of(device, link, far)
                found.append(Arrival(device, kind, terminal, link.part))
    return tuple(found)


def _kind_of(device: MicrogridInterconnectDevice, link: Link, far: str) -> tuple[str, str]:
    if far == f"{device.tag}.line":
        return "utility side", ""
    if far == f"{device.tag}.load":
        return "load side", ""
    name = far.removeprefix(f"{device.tag}.")
    if far.startswith(f"{device.tag}.") and name in device.source_terminals():
        return "source terminal", name
    return "breaker position", link.part


@dataclass(frozen=True, slots=True)
class NeutralOrigin:
    """Where the neutral of a node comes from in a mode: tags that make one, and sources that do not say whether they do."""

    made_by: tuple[str, ...]
    not_stated: tuple[str, ...]


def neutral_origin(system: System, node: str, mode: OperatingMode) -> NeutralOrigin:
    """Return what makes the neutral of a busbar in ``mode``: autotransformer, source, generator or utility joined by a neutral."""
    reached = system.graph.reach([node], lambda link: mode in link.closed_in and link.carries_neutral and not link.is_converter)
    made = [device.tag for device in interconnect_devices(system) if f"{device.tag}.autotransformer" in reached]
    unknown: list[str] = []
    for source in system.sources.values():
        item = system.equipment[source.tag]
        if not source.is_ac or not _reaches_output(item, source, reached):
            continue
        answer = _makes_neutral(item, source)
        (made if answer else unknown if answer is None else []).append(source.tag)
    return NeutralOrigin(tuple(dict.fromkeys(made)), tuple(dict.fromkeys(unknown)))


def _reaches_output(item: Equipment, source: PowerSource, reached: dict[str, Link | None]) -> bool:
    return source.node in reached or f"{item.tag}.output" in reached


def _makes_neutral(item: Equipment, source: PowerSource) -> bool | None:
    if source.kind in ("utility", "generator"):
        return True
    if isinstance(item, EnergyStorageSystem):
        return item.answer("forms_neutral")
    if isinstance(item, Inverter):
        return item.forms_neutral if source.forms_island else False
    return False


def live_in(system: System, node: str, mode: OperatingMode) -> bool:
    """Whether a source that forms a voltage reaches ``node`` in ``mode``; the utility does so only in its own mode."""
    reached = system.graph.reach([node], closed_in(mode))
    with_utility = mode is OperatingMode.WITH_UTILITY
    forming = (s for s in system.sources.values() if s.is_ac and (s.forms_island or (with_utility and s.kind == "utility")))
    return any(source.node in reached for source in forming)
