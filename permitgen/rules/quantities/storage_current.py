"""The current of storage circuits: charging or discharging, whichever is more, never their sum."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.energy_storage import governing_storage_current_a, inverter_input_current_a
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.source_output import own_output
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.inverter import Inverter
from permitgen.values.equation import selected, sum_of
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.power_source import PowerSource


def storage_current(given: Given, tag: str, sources: list[PowerSource]) -> Value:
    """Return the current of a circuit that serves the storage units ``sources``, A: the sum of what governs in each.

    Raises:
        MissingFactError: a unit states no output current.
    """
    currents = [unit_current(given, source) for source in sources]
    if not currents:
        raise MissingFactError(f"storage on {tag}")
    if len(currents) == 1:
        return currents[0]
    named = [current.named(f"I_{source.tag}") for current, source in zip(currents, sources, strict=True)]
    return sum_of(named, symbol="I", title=f"sum of the storage currents on {tag}", provision=given.provision("ess_current"))


def unit_current(given: Given, source: PowerSource) -> Value:
    """Return the larger of a unit's charging and discharging current, A; power control limits the discharge where the edition takes it.

    Raises:
        MissingFactError: the unit states no output current.
    """
    discharge = own_output(given, source).named("I_dis", f"discharge current of {source.id}")
    unit = given.system.equipment[source.tag]
    if not isinstance(unit, EnergyStorageSystem) or unit.charge_a is None:
        return discharge
    charge = unit.charge_a.named("I_chg", f"charging current of {unit.tag}")
    provision = given.provision("ess_current")
    return governing_storage_current_a.derive(
        charge_a=charge, discharge_a=discharge, provision=provision, symbol="I", title=f"current of {unit.tag}"
    )


def battery_circuit_current(given: Given, tag: str, units: list[PowerSource], inverters: list[Inverter]) -> Value:
    """Return the current of a battery circuit, A: what the batteries state, or what the inverter draws at its lowest voltage.

    Raises:
        MissingFactError: neither is stated.
    """
    found = [storage_current(given, tag, units)] if all(unit.output_a is not None for unit in units) and units else []
    found += [current for inverter in inverters if (current := _input_current(given, inverter)) is not None]
    if not found:
        raise MissingFactError(f"discharge current of the storage on {tag}, or power, lowest voltage and efficiency of its inverter")
    if len(found) == 1:
        return found[0]
    largest = max(found, key=lambda value: value.number)
    return selected(
        largest.number,
        "a",
        by="larger of",
        inputs=tuple(found),
        symbol="I",
        title=f"current of the battery circuit {tag}",
        provision=given.provision("ess_current"),
    )


def _input_current(given: Given, inverter: Inverter) -> Value | None:
    power, lowest, efficiency = inverter.output_va, inverter.lowest_dc_input_v, inverter.efficiency_percent
    if power is None or lowest is None or efficiency is None:
        return None
    watts = Value(power.number, "w", power.origin, "P", f"rated output of {inverter.tag}", power.spelled)
    share = Value(efficiency.number / 100, "factor", efficiency.origin, "η", f"efficiency of {inverter.tag}", efficiency.spelled)
    provision = given.provision("ess_current")
    title = f"input current of {inverter.tag} at its lowest voltage"
    return inverter_input_current_a.derive(
        rated_power_w=watts, lowest_input_v=lowest.named("V_min"), efficiency_factor=share, provision=provision, title=title
    )
