"""Each dc output of a battery has a current-limiting device beside it, or inside the listed unit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.walks.in_series import first_device

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "ess-current-limiting",
    title="Each dc output of a battery has a current-limiting device beside it, or inside the listed unit",
    provision="ess_current_limiting",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge the first device of each dc output of a storage unit.

    Requires: a device listed as current limiting; none beside the unit where the listed unit has such devices inside.
    Why: a battery drives its whole fault current in a thousandth of a second; a plain breaker lets it through until it opens.
    Applies to: storage with dc terminals.
    Example that fails: a battery rack with a plain breaker.
    Example that passes: a current-limiting fuse at the rack.
    """
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(unit.tag, ())]
    circuits = [circuit for circuit in circuits if circuit.is_dc]
    if not circuits:
        return does_not_apply(f"{unit.tag} has no dc output of the premises")
    if unit.answer("current_limiting_inside") and unit.is_listed_system:
        return require(fact=True, message=f"{unit.tag}: the listed unit has current-limiting devices inside")
    return all_of(f"{unit.tag}: a current-limiting device at each dc output", [_output(unit, circuit, given) for circuit in circuits])


def _output(unit: EnergyStorageSystem, circuit: Circuit, given: Given) -> Judgement:
    away = "finish" if circuit.start.tag == unit.tag else "start"
    at_unit = "start" if away == "finish" else "finish"
    device = first_device(given.system, circuit, at_unit) or first_device(given.system, circuit, away)
    limits = device.device.answer("current_limiting") if device is not None else False
    where = device.tag if device is not None else f"{circuit.tag}, without a device,"
    return require(
        limits,
        f"{unit.tag}: {where} is {'' if limits else 'not '}current limiting",
        missing=f"whether the device at {where} is current limiting, or that {unit.tag} has such devices inside",
    )
