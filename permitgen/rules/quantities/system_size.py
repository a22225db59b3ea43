"""The size of the system as the cover states it: dc power of the arrays, rated energy of the storage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.photovoltaic import array_power_w
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.walks.rapid_shutdown import arrays_of
from permitgen.values.equation import one_or_sum_of, sum_of

if TYPE_CHECKING:
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.system import System
    from permitgen.values.value import Value


def pv_power_w(system: System) -> Value | None:
    """Return the dc power of all arrays together, W; None where there is none or a module is not described."""
    arrays = arrays_of(system)
    found = [power for array in arrays if (power := _array_power(array)) is not None]
    if not arrays or len(found) < len(arrays):
        return None
    return one_or_sum_of(found, symbol="P_dc", title="dc power of the arrays")


def _array_power(array: PVArray) -> Value | None:
    if array.module is None or array.module.power_w is None or array.all_modules is None:
        return None
    return array_power_w.derive(modules_count=array.all_modules, module_w=array.module.power_w, title=f"dc power of {array.tag}")


def storage_energy_kwh(system: System) -> Value | None:
    """Return the rated energy of all storage together, kWh; None where there is none or a unit does not state it."""
    units = [item for item in system.equipment.values() if isinstance(item, EnergyStorageSystem)]
    stated = [unit.energy_kwh for unit in units if unit.energy_kwh is not None]
    if not units or len(stated) < len(units):
        return None
    return sum_of(stated, symbol="E", title="rated energy of the storage")
