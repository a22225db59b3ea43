"""A battery that a wall parts from what it feeds has its disconnect on its own side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, does_not_apply, require
from permitgen.rules.quantities.storage_partition import parted_from
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.walks.in_series import links_of_circuit
from permitgen.system.walks.reach_of_hand import is_in_sight

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "ess-partition",
    title="A battery that a wall parts from what it feeds has its disconnect on its own side",
    provision="ess_battery_separation",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge a battery circuit that passes a wall, floor or ceiling.

    Requires: a disconnect in the unit, or in sight of it on its circuit; in 2017 also where the circuit is longer than 5 ft.
    Why: who works on the battery must open it where he stands, and nobody behind the wall may close it again unseen.
    Applies to: dc circuits from a storage unit to equipment in another space.
    Example that fails: battery in the cellar, inverter above it, one switch beside the inverter.
    Example that passes: the same with a switch at the battery.
    """
    parted = parted_from(given, circuit)
    if parted is None:
        return does_not_apply(f"{circuit.tag} is no battery circuit that leaves the space of its battery")
    unit, why = parted.unit, parted.why
    own = require(
        unit.has_disconnect,
        f"{unit.tag}, {why}, has {'a' if unit.has_disconnect else 'no'} disconnect of its own",
        missing=f"whether {unit.tag} has a disconnect of its own",
    )
    return any_of(f"{circuit.tag}", [own, *(_in_sight(unit, switch) for switch in _switches(given, circuit))])


def _switches(given: Given, circuit: Circuit) -> list[Disconnect]:
    items = (given.system.equipment.get(link.handle) for link in links_of_circuit(given.system, circuit))
    return [item for item in items if isinstance(item, Disconnect)]


def _in_sight(unit: EnergyStorageSystem, switch: Disconnect) -> Judgement:
    sight = is_in_sight(unit, switch)
    message = f"{switch.tag} is {'' if sight else 'not '}in sight of {unit.tag}"
    return require(sight, message, missing=f"whether {switch.tag} is in sight of {unit.tag}")
