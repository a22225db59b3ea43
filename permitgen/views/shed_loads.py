"""What is switched off in backup mode: loads of a panel, and equipment with a circuit of its own such as a vehicle charger."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.system import System


def shed_in_island(system: System, panels: Collection[str] | None = None) -> tuple[tuple[str, str], ...]:
    """Return tag and name of everything that is shed in an island, in file order; ``panels`` (None: all) from which it is fed.

    What has no name is told by what it is, never by its tag.
    """
    loads = [
        (tag, load.name or "load without a name")
        for tag, load in system.loads.items()
        if load.shed == "island" and _is_of(load.panel, panels)
    ]
    fed = {circuit.finish.tag: circuit.start.tag for circuit in system.circuits.values()}
    equipment = [
        (tag, item.name or item.kind.replace("_", " "))
        for tag, item in system.equipment.items()
        if item.word("shed") == "island" and _is_of(fed.get(tag, ""), panels)
    ]
    return (*loads, *equipment)


def _is_of(panel: str, panels: Collection[str] | None) -> bool:
    return panels is None or panel in panels
