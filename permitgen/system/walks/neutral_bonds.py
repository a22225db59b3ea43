"""Where the neutral meets ground, in each mode, on each electrically continuous neutral."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.disconnect import TransferSwitch
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.neutral_bond import BondState, NeutralBond
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.spanning_forest import SpanningForest

if TYPE_CHECKING:
    from collections.abc import Sequence, Set

    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.link import Link
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
    forest = SpanningForest(system.graph, lambda link: _neutral_passes(link, mode))
    on_it: dict[int, dict[str, Equipment]] = {}
    for item in system.equipment.values():
        for node in _neutral_node(item) & forest.number.keys():
            on_it.setdefault(forest.component(node).spans[0][0], {})[item.tag] = item
    found = ((nodes, on_it.get(nodes.spans[0][0])) for nodes in forest.components() if len(nodes) > 1)
    return [_network(system, mode, frozenset(nodes), tuple(items.values())) for nodes, items in found if items]


def neutrals_to_the_bond(system: System, tag: str) -> tuple[str, ...]:
    """Return the circuits whose neutral joins the neutral bar of an enclosure to what is bonded elsewhere.

    All of them are lifted to look for a second bond. A circuit whose neutral leads to no bond (a branch, a subpanel) may stay.
    """
    found = []
    for circuit in system.circuits.values():
        if not circuit.conductors.neutral or tag not in (circuit.start.tag, circuit.finish.tag):
            continue
        own, far = system.graph.conductors_of(circuit.tag), f"{circuit.tag}.{'start' if circuit.finish.tag == tag else 'finish'}"
        reached = system.graph.reach([far], lambda link, own=own: link is not own and link.carries_neutral and not link.is_converter)  # type: ignore[misc]
        tags = {node.partition(".")[0] for node in reached} - {tag}
        bonds = (system.equipment[other].neutral_bond for other in tags if other in system.equipment)
        if any(bond is not None and bond.state.is_bonded for bond in bonds):
            found.append(circuit.tag)
    return tuple(found)


def _neutral_passes(link: Link, mode: OperatingMode) -> bool:
    """A neutral is solid through an open contactor unless the contactor switches it too."""
    if not link.carries_neutral or link.is_converter:
        return False
    return not link.switches_neutral or mode in link.closed_in


def _network(system: System, mode: OperatingMode, nodes: frozenset[str], may_bond: Sequence[Equipment]) -> NeutralNetwork:
    return NeutralNetwork(
        mode=mode,
        nodes=nodes,
        enclosures=tuple(item.tag for item in may_bond),
        bonded=tuple(item.tag for item in may_bond if _is_bonded(item, nodes, mode)),
        not_stated=tuple(item.tag for item in may_bond if _bond_of(item, nodes) is None),
        has_utility=any(node in nodes for node in system.utility_nodes),
    )


def _bond_of(item: Equipment, nodes: Set[str]) -> NeutralBond | None:
    """The bond of an enclosure on this neutral: a device that holds the neutral open has one on either side."""
    if isinstance(item, MicrogridInterconnectDevice) and f"{item.tag}.supply" not in nodes:
        return item.island_bond
    if isinstance(item, Inverter) and item.output_node not in nodes:
        return NeutralBond(state=BondState.NONE_POSSIBLE)
    return item.neutral_bond


def _is_bonded(item: Equipment, nodes: Set[str], mode: OperatingMode) -> bool:
    bond = _bond_of(item, nodes)
    if bond is None:
        return False
    if item.source_bond_node:
        # A bond that closes in the island closes there whether or not the utility's neutral is still joined.
        return bond.state.is_bonded or (bond.state is BondState.AUTOMATIC and mode is OperatingMode.ISLANDED)
    if isinstance(item, MicrogridInterconnectDevice):
        if f"{item.tag}.supply" not in nodes:
            return bond.state.is_bonded or bond.state is BondState.AUTOMATIC
        # A bond on the island side is on this neutral too while the neutral is closed; a relay makes its own when the contactor opens.
        beyond = item.island_bond if f"{item.tag}.bus" in nodes else None
        return bond.state.is_bonded or (beyond is not None and _closes(beyond, mode))
    return bond.state.is_bonded


def _closes(bond: NeutralBond, mode: OperatingMode) -> bool:
    """Whether a bond on the island side of an interconnect device is closed: in every mode, or by its relay without the utility."""
    return bond.state.is_bonded or (bond.state is BondState.AUTOMATIC and mode is not OperatingMode.WITH_UTILITY)


def _neutral_node(item: Equipment) -> set[str]:
    if isinstance(item, Inverter) and item.output_node != item.line_node:
        # It passes the neutral on; its own bond, where it makes one, is on the island's side of the relay.
        return {item.line_node, item.output_node}
    if item.source_bond_node:
        # Without a load port there is no neutral bar; it is of a neutral by the bond that it is said to make.
        makes_one = item.neutral_bond is not None and _closes(item.neutral_bond, OperatingMode.ISLANDED)
        return {item.source_bond_node} if makes_one else set()
    if isinstance(item, TransferSwitch) and item.bonds_ahead_of_neutral_pole:
        return {f"{item.tag}.normal"}
    return {f"{item.tag}.{name}" for name in item.neutral_bar_at}
