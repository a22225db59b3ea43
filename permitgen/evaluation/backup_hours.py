"""How long the batteries carry what runs in an outage: for the owner, never on a sheet that is handed in, and no verdict rests on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.energy_storage import charge_factor, hours_of_backup_h, in_percent, load_kw
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.values.equation import one_or_sum_of
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.load import Load


@dataclass(frozen=True, slots=True)
class BackupBasis:
    """What the hours rest on: rated energy of all batteries, the part of it that reaches the loads, the charge kept for outages."""

    energy_kwh: Value
    efficiency_factor: Value
    reaching_percent: Value
    kept_factor: Value | None


@dataclass(frozen=True, slots=True)
class BackupHours:
    """Hours at a constant load, from full batteries and from the charge kept for outages (None: no setting says it)."""

    full_h: Value
    kept_h: Value | None


def backup_basis(given: Given) -> BackupBasis | None:
    """Return what hours of backup rest on; None where there is no battery or one whose energy is not stated."""
    system = given.system
    units = [item for item in system.equipment.values() if isinstance(item, EnergyStorageSystem)]
    stated = [unit.energy_kwh for unit in units if unit.energy_kwh is not None]
    if not units or len(stated) < len(units):
        return None
    energy = one_or_sum_of(stated, symbol="E", title="rated energy of all batteries")
    kept = system.charge_kept_percent
    efficiency = given.code.provision("backup_losses").value("efficiency_factor")
    return BackupBasis(
        energy,
        efficiency,
        in_percent.derive(efficiency_factor=efficiency),
        charge_factor.derive(kept_percent=kept) if kept is not None else None,
    )


def hours_at(basis: BackupBasis, power_kw: Value) -> BackupHours:
    """Return the hours at a constant load above nothing."""
    full = Value(1.0, "factor", Assumed("full batteries"), "c", "charge")
    return BackupHours(_hours(basis, full, power_kw), _hours(basis, basis.kept_factor, power_kw) if basis.kept_factor is not None else None)


def _hours(basis: BackupBasis, charge: Value, power_kw: Value) -> Value:
    return hours_of_backup_h.derive(
        energy_kwh=basis.energy_kwh, charge_factor=charge, efficiency_factor=basis.efficiency_factor, power_kw=power_kw
    )


def power_of(loads: Sequence[Load]) -> Value | None:
    """Return the power of loads together at full load, kW; None where one does not state it, or there is none of them."""
    stated = [load.power_va for load in loads if load.power_va is not None]
    if not loads or len(stated) < len(loads):
        return None
    return load_kw.derive(load_va=one_or_sum_of(stated, symbol="S", title="power of what runs"))


def stated_power(average_va: Value) -> Value:
    """Return the average power that a person states, kW."""
    return load_kw.derive(load_va=average_va)


def largest_of(loads: Sequence[Load]) -> Load | None:
    """Return the load of the largest stated power, the first of equals; None where none states it."""
    stated = [load for load in loads if load.power_va is not None]
    return max(stated, key=lambda load: load.power_va.number if load.power_va is not None else 0.0) if stated else None
