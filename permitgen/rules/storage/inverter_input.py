"""Batteries stay within the voltage that the inverter's input withstands, and the short-circuit current where it states one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.battery_fault import fault_current_together
from permitgen.rules.quantities.dc_voltage import storage_voltage
from permitgen.rules.rule import rule
from permitgen.system.walks.batteries import batteries_among
from permitgen.system.walks.dc_circuits import storage_joined

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
    from permitgen.system.equipment.inverter import Inverter
    from permitgen.values.value import Value


@rule(
    "ess-inverter-input",
    title="Batteries stay within the voltage that the inverter's input withstands, and the short-circuit current where it states one",
    provision="listed_and_instructed",
    judges="inverter",
)
def judge(inverter: Inverter, given: Given) -> Judgement:
    """Judge each dc input against the batteries joined on it.

    Requires: maximum voltage of every battery ≤ highest voltage of the input; sum of their fault currents ≤ the largest short-circuit
        current of a battery port that states one.
    Why: a battery charged to its top stands above what the input's capacitors and switches bear, all night long.
    Applies to: inverters with dc-coupled storage on an input.
    Example that fails: batteries of 58.4 V on an input of 58 V.
    Example that passes: the same on an input of 60 V.
    """
    parts = parts_for(inverter.dc_inputs, lambda name: _at_input(inverter, name, given))
    if not parts:
        return does_not_apply(f"{inverter.tag}: no battery on its inputs")
    return all_of(f"{inverter.tag}: its inputs bear the batteries on them", parts)


def _at_input(inverter: Inverter, name: str, given: Given) -> list[Judgement]:
    joined = storage_joined(given.system, f"{inverter.tag}.{name}")
    units = batteries_among(given.system, [source.tag for source in joined])
    port = inverter.ports.get(name)
    found = parts_for(units, lambda unit: _voltage(inverter, name, unit, given))
    bears = port.largest_short_circuit_a if port is not None else None
    if units and bears is not None:
        found += parts_of(lambda: _fault(f"{inverter.tag}.{name}", fault_current_together(given, joined, (), inverter.tag), bears))
    return found


def _fault(where: str, together: Value, bears: Value) -> Judgement:
    message = f"{where}: its batteries give {together.number:.4g} A into a fault, the input bears {bears.figure} A"
    return require_at_most(message, computed=together, limit=bears.named("I_bears"))


def _voltage(inverter: Inverter, name: str, unit: EnergyStorageSystem, given: Given) -> Judgement:
    port = inverter.ports.get(name)
    stated = port.largest_voltage_v if port is not None and port.largest_voltage_v is not None else inverter.largest_dc_input_v
    asked = f"maximum input voltage of {inverter.tag}"
    limit = given.need(stated, asked).named("V_input", asked)
    volts = storage_voltage(given, unit)
    message = f"{inverter.tag}.{name}: {unit.tag} reaches {volts.figure} V, the input withstands {limit.figure} V"
    return require_at_most(message, computed=volts, limit=limit)
