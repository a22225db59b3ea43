"""How generators come in when the utility is gone: by themselves, or by a person's hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.disconnect import TransferSwitch
from permitgen.system.equipment.generator import Generator
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.graph import closed_in
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.system.system import System


def is_transferred_by_hand(system: System) -> bool:
    """Whether every generator is brought in by a person: a portable one, a manual transfer switch, or an interlocked breaker.

    A person then chooses what runs. A transfer switch that does not say counts as automatic, the stricter reading.
    """
    machines = [item for item in system.equipment.values() if isinstance(item, Generator)]
    return bool(machines) and all(machine.is_portable or _by_hand(system, machine) for machine in machines)


def starts_by_itself(system: System) -> bool:
    """Whether the file says so: an automatic transfer switch, or a start circuit, of a machine that nobody switches over by hand."""
    switched = any(isinstance(item, TransferSwitch) and item.is_automatic for item in system.equipment.values())
    started = any(control.purpose == "generator start" for control in system.controls.values())
    return (switched or started) and not is_transferred_by_hand(system)


def _by_hand(system: System, machine: Generator) -> bool:
    nodes = system.graph.reach([f"{machine.tag}.windings"], closed_in(OperatingMode.ON_GENERATOR))
    for item in system.equipment.values():
        if isinstance(item, TransferSwitch) and item.is_automatic is False and f"{item.tag}.alternate" in nodes:
            return True
        if isinstance(item, Panelboard) and item.interlocked_position is not None and f"{item.tag}.bus" in nodes:
            return True
    return False
