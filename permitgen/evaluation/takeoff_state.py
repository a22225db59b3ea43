"""Whether a thing of the file is new material: bought for this work, and not there already, moved, or part of something else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from permitgen.system.equipment.utility_service import UtilityService

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.system import System

WhyNot = Literal[
    "",
    "existing",
    "relocated",
    "part of its equipment",
    "of the utility",
    "holds existing circuits and new ones, and the file does not say whether it is new",
]
"""Why a thing is not counted; empty where it is."""


@dataclass(frozen=True, slots=True)
class NotCounted:
    """A thing of the file that is left out of the count, with why."""

    tag: str
    what: Literal["circuit", "raceway", "device", "equipment"]
    why: WhyNot


def equipment_state(item: Equipment) -> WhyNot:
    """Return why a piece of equipment is not counted; electrodes are counted with their conductors."""
    if isinstance(item, UtilityService):
        return "of the utility"
    return "existing" if item.status == "existing" else ""


def device_state(system: System, installed: InstalledDevice) -> WhyNot:
    """Return why a device is not counted: what it says of itself, else what its circuit and its equipment say."""
    device, item = installed.device, system.equipment.get(installed.enclosure)
    if device.comes_with_hardware:
        return "part of its equipment"
    if device.status == "existing":
        return "existing"
    if device.status == "relocated":
        return "relocated"
    if device.status == "new":
        return ""
    circuit = system.circuits.get(installed.circuit)
    if circuit is not None:
        return "existing" if circuit.existing else ""
    return equipment_state(item) if item is not None else ""


def run_state(system: System, held: Sequence[str]) -> WhyNot:
    """Return why a raceway is not counted, by the circuits in it: a file says of circuits, not of raceways, that they are existing."""
    existing = [tag in system.circuits and system.circuits[tag].existing for tag in held]
    if not any(existing):
        return ""
    return "existing" if all(existing) else "holds existing circuits and new ones, and the file does not say whether it is new"
