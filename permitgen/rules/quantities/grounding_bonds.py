"""Facts about one continuous neutral: does a conductor make it, does a source form it, is every switch on it described."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict
from permitgen.system.equipment.disconnect import TransferSwitch
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.operating_mode import OperatingMode
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.walks.neutral_bonds import NeutralNetwork


def carries_neutral(given: Given, network: NeutralNetwork) -> bool:
    """Whether a circuit with a neutral conductor belongs to the network."""
    circuits = (circuit for circuit in given.system.circuits.values() if circuit.conductors.has_neutral and not circuit.is_dc)
    return any(f"{circuit.tag}.start" in network.nodes for circuit in circuits)


def forms_neutral(given: Given, network: NeutralNetwork) -> bool:
    """Whether a source with a neutral, or a neutral-forming autotransformer, is on the network."""
    sources = (s for s in given.system.sources.values() if s.node in network.nodes and s.is_ac)
    if any(s.kind == "utility" or s.forms_island for s in sources):
        return True
    devices = (item for item in given.system.equipment.values() if isinstance(item, MicrogridInterconnectDevice))
    return any(device.autotransformer is not None and f"{device.tag}.bus" in network.nodes for device in devices)


def switching_not_stated(given: Given, network: NeutralNetwork) -> tuple[str, ...]:
    """Return the tags of switches on the network of which the project does not say whether they open the neutral.

    With the utility present an interconnect device's contactor is closed, so that it does not matter there; a transfer switch
    decides in every mode whether the source on its other side shares the neutral.
    """
    found = []
    for item in given.system.equipment.values():
        if isinstance(item, MicrogridInterconnectDevice) and f"{item.tag}.bus" in network.nodes:
            if item.contactor_switches_neutral is None and network.mode is not OperatingMode.WITH_UTILITY:
                found.append(item.tag)
        elif isinstance(item, TransferSwitch) and f"{item.tag}.load" in network.nodes and item.switches_neutral is None:
            found.append(item.tag)
    return tuple(found)


def bonds_compared(message: str, *, bonds: int, wanted: int, where: str) -> Judgement:
    """Judge that as many enclosures are bonded as must be: neither fewer nor more."""
    computed = Value(float(bonds), "count", FromSystem("counted on the graph of the neutral"), "n", f"{where} with a bond")
    limit = Value(float(wanted), "count", FromSystem("counted on the graph of the neutral"), "n_req", f"{where} that must have one")
    return Judgement(Verdict.PASSES if bonds == wanted else Verdict.VIOLATED, message, computed=computed, limit=limit, relation="=")
