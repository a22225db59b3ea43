"""Where the neutral meets ground, in each mode, on each electrically continuous neutral."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.neutral_bond import BondState
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.link import Link
    from permitgen.system.neutral_bond import NeutralBond
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class NeutralNetwork:
    """One continuous neutral in ``mode``: the enclosures on it, those bonded, and those whose bond is not stated."""

    mode: OperatingMode
    nodes: frozenset[str]
    enclosures: tuple[str, ...]
    bonded: tuple[str, ...]
    not_stated: tuple[str, ...]
    has_utility: bool


def service_disconnect_enclosures(system: System) -> tuple[str, ...]:
    """Return the tags of the enclosures that hold the first disconnecting means on each path from the utility."""
    reached = system.graph.reach(system.utility_nodes, lambda link: not link.handle and OperatingMode.WITH_UTILITY in link.closed_in)
    tags: dict[str, None] = {}
    for node in reached:
        for link in system.graph.at_node.get(node, ()):
            if link.handle and link.handle in system.handles:
                tags[system.handles[link.handle].tag] = None
    return tuple(tags)


def neutral_networks(system: System, mode: OperatingMode) -> list[NeutralNetwork]:
    """Return the continuous neutrals of the installation in ``mode`` that carry an enclosure."""
    seen: set[str] = set()
    found: list[NeutralNetwork] = []
    for start in system.graph.at_node:
        if start in seen:
            continue
        nodes = set(system.graph.reach([start], lambda link: _neutral_passes(link, mode)))
        seen |= nodes
        network = _network(system, mode, nodes)
        if network.enclosures and len(nodes) > 1:
            found.append(network)
    return found


def _neutral_passes(link: Link, mode: OperatingMode) -> bool:
    """A neutral is solid through an open contactor unless the contactor switches it too."""
    if not link.carries_neutral or link.is_converter:
        return False
    return not link.switches_neutral or mode in link.closed_in


def _network(system: System, mode: OperatingMode, nodes: set[str]) -> NeutralNetwork:
    on_it = [item for item in system.equipment.values() if _neutral_node(item) & nodes]
    may_bond = [item for item in on_it if item.kind in _CAN_BOND]
    return NeutralNetwork(
        mode=mode,
        nodes=frozenset(nodes),
        enclosures=tuple(item.tag for item in may_bond),
        bonded=tuple(item.tag for item in may_bond if _is_bonded(item, nodes)),
        not_stated=tuple(item.tag for item in may_bond if _bond_of(item, nodes) is None),
        has_utility=any(node in nodes for node in system.utility_nodes),
    )


def _bond_of(item: Equipment, nodes: set[str]) -> NeutralBond | None:
    """The bond of an enclosure on this neutral: a device that holds the neutral open has one on either side."""
    if isinstance(item, MicrogridInterconnectDevice) and f"{item.tag}.supply" not in nodes:
        return item.island_bond
    return item.neutral_bond


def _is_bonded(item: Equipment, nodes: set[str]) -> bool:
    bond = _bond_of(item, nodes)
    if bond is None:
        return False
    if isinstance(item, MicrogridInterconnectDevice):
        if f"{item.tag}.supply" not in nodes:
            return bond.state.is_bonded or bond.state is BondState.AUTOMATIC
        # A fixed bond on the island side is on this neutral too while the neutral is closed.
        return bond.state.is_bonded or (item.island_bond is not None and item.island_bond.state.is_bonded)
    return bond.state.is_bonded


# Meters are bonded by the utility ahead of the service disconnect (250.142(A)), so they are left out of the count.
_CAN_BOND = frozenset({"panelboard", "microgrid_interconnect_device", "generator", "disconnect", "transfer_switch"})


def _neutral_node(item: Equipment) -> set[str]:
    """The node where an enclosure's neutral bar lies: the supply side of its main, which the neutral bar shares."""
    names = {
        "panelboard": ("bus",),
        "microgrid_interconnect_device": ("supply", "bus"),
        "generator": ("windings",),
        "disconnect": ("line",),
        "transfer_switch": ("load",),
    }
    return {f"{item.tag}.{name}" for name in names.get(item.kind, ())}
