"""Fault current on direct current: what the batteries declare, added, and what comes back through their inverters."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.inverter import Inverter
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


def fault_current_together(given: Given, units: Sequence[PowerSource], inverters: Sequence[Inverter], tag: str) -> Value:
    """Return what batteries and inverters give together into a fault, A.

    Raises:
        MissingFactError: one of them does not state it, or there is none.
    """
    currents = [given.need(_declared(unit, given), f"fault current that {unit.tag} declares").named(f"I_f_{unit.tag}") for unit in units]
    currents += [given.need(item.dc_backfeed_a, f"dc backfeed current of {item.tag}").named(f"I_back_{item.tag}") for item in inverters]
    if not currents:
        raise MissingFactError(f"fault current on {tag}")
    if len(currents) == 1:
        return currents[0]
    return sum_of(currents, symbol="ΣI_f", title=f"fault current of what feeds {tag} together", unit="a")


def _declared(source: PowerSource, given: Given) -> Value | None:
    unit = given.system.equipment[source.tag]
    return unit.fault_current_a if isinstance(unit, EnergyStorageSystem) else None
