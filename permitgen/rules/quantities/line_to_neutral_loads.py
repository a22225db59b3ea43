"""Which panels feed 120 V loads, and which of them stand behind a feeder that brings no neutral."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import role
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.panel_rows import panel_rows, tells_all_loads
from permitgen.system.walks.circuit_sides import CircuitRole, side_in_mode
from permitgen.system.walks.island import neutral_origin
from permitgen.system.walks.sources_only import is_distribution

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.circuit import Circuit
    from permitgen.system.walks.neutral_bonds import NeutralNetwork

_SUPPLY = (CircuitRole.SERVICE, CircuitRole.FEEDER)
_UTILITY = OperatingMode.WITH_UTILITY


def without_return(given: Given, circuit: Circuit) -> tuple[str, ...]:
    """Return the panels behind a service or feeder without a neutral whose 120 V loads have no other neutral with the utility.

    Raises:
        MissingFactError: whether such a panel feeds 120 V loads is not stated.
    """
    if not _has_none(given, circuit):
        return ()
    behind = [busbar for busbar in _behind(given, circuit) if not _made_with_utility(given, busbar)]
    feeds = {busbar.tag: has_120_volt_loads(given, busbar) for busbar in behind}
    found = tuple(tag for tag, answer in feeds.items() if answer)
    open_ones = [tag for tag, answer in feeds.items() if answer is None]
    if open_ones and not found:
        raise MissingFactError(*(f"whether {tag} feeds 120 V loads (all its breakers)" for tag in open_ones))
    return found


def feeders_without_neutral(given: Given, network: NeutralNetwork) -> tuple[str, ...]:
    """Return the services and feeders that end on a neutral and, without one themselves, keep it from the utility's.

    Their ungrounded conductors join it to the utility, so that it is no system of its own.
    """
    return tuple(c.tag for c in given.system.circuits.values() if _has_none(given, c) and _ends_on(given, c, network))


def _has_none(given: Given, circuit: Circuit) -> bool:
    return not circuit.is_dc and circuit.conductors.neutral is False and role(given, circuit) in _SUPPLY


def _ends_on(given: Given, circuit: Circuit, network: NeutralNetwork) -> bool:
    """Whether the circuit has one end on the network, and the utility is on its other side."""
    ends = (("start", circuit.start), ("finish", circuit.finish))
    outside = [name for name, end in ends if given.system.equipment[end.tag].node_of(end) not in network.nodes]
    return len(outside) == 1 and side_in_mode(given.system, circuit, outside[0], _UTILITY).has_utility


def _made_with_utility(given: Given, busbar: Busbar) -> bool:
    """Whether something makes the neutral of a panel with the utility; an autotransformer that is then disconnected does not."""
    made = (given.system.equipment[tag] for tag in neutral_origin(given.system, busbar.node, _UTILITY).made_by)
    return any(not (isinstance(item, MicrogridInterconnectDevice) and _drops_out(given, item)) for item in made)


def _drops_out(given: Given, device: MicrogridInterconnectDevice) -> bool:
    former = device.autotransformer
    missing = f"what the neutral-forming transformer of {device.tag} does then"
    return former is not None and given.need(former.with_utility or None, missing) == "disconnected"


def _behind(given: Given, circuit: Circuit) -> list[Busbar]:
    """The panels with loads on the side of the circuit where the utility is not."""
    system = given.system
    sides = [side_in_mode(system, circuit, end, _UTILITY) for end in ("start", "finish")]
    if all(side.has_utility for side in sides) or not any(side.has_utility for side in sides):
        return []
    nodes = next(side.nodes for side in sides if not side.has_utility)
    return [bus for bus in system.busbars.values() if bus.node in nodes and is_distribution(system, system.equipment[bus.tag])]


def has_120_volt_loads(given: Given, busbar: Busbar) -> bool | None:
    """Return whether a panel feeds 120 V loads; None where the file does not show all its breakers and a neutral may come to it."""
    if any(load.panel == busbar.tag and load.leg != "both" for load in given.system.loads.values()):
        return True
    shown = any(
        row.circuit.conductors.ungrounded_count == 1 and row.circuit.start.tag == busbar.tag
        if row.circuit is not None
        else row.is_further and row.device is not None and row.device.poles == 1
        for row in panel_rows(given.system, busbar.tag)
    )
    return True if shown else False if tells_all_loads(given.system, busbar.tag) or _has_no_neutral(given, busbar) else None


def _has_no_neutral(given: Given, busbar: Busbar) -> bool:
    """Whether every ac circuit that lands on the panel is known to have no neutral conductor."""
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(busbar.tag, ())]
    return bool(circuits) and all(circuit.conductors.neutral is False for circuit in circuits if not circuit.is_dc)
