"""A battery that a wall parts from what it feeds has its overcurrent device on its own side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require
from permitgen.rules.quantities.storage_partition import parted_from
from permitgen.rules.rule import rule
from permitgen.system.walks.in_series import first_device

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "ess-partition-device",
    title="A battery that a wall parts from what it feeds has its overcurrent device on its own side",
    provision="ess_overcurrent_place",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge where the device of a battery circuit stands that passes a wall, floor or ceiling.

    Requires: an overcurrent device at the battery, in it or in the space where it stands; in 2017 also on a circuit above 5 ft.
    Why: a cable pinched in the wall burns on the battery's side of a fuse that sits beyond it.
    Applies to: dc circuits from a storage unit to equipment in another space.
    Example that fails: battery in the garage, inverter outside, the fuse in the inverter only.
    Example that passes: a fuse at the battery.
    """
    parted = parted_from(given, circuit)
    if parted is None:
        return does_not_apply(f"{circuit.tag} is no battery circuit that leaves the space of its battery")
    unit, end = parted.unit, parted.end
    if unit.answer("current_limiting_inside"):
        return require(fact=True, message=f"{unit.tag}, {parted.why}: overcurrent devices inside the unit")
    device = first_device(given.system, circuit, end)
    item = given.system.equipment[device.enclosure] if device is not None else None
    if device is not None and (item is unit or device.circuit == circuit.tag):
        return require(fact=True, message=f"{unit.tag}, {parted.why}: its device is {device.tag}")
    if device is None or item is None:
        if unit.answer("current_limiting_inside") is None and unit.is_listed_system:
            return not_judged(f"whether the listed unit {unit.tag} has overcurrent devices at its dc outputs inside")
        return require(fact=False, message=f"{unit.tag}, {parted.why}: no overcurrent device on its side of {circuit.tag}")
    same = item.place is not None and unit.place is not None and bool(item.place.space) and item.place.space == unit.place.space
    return require(same, f"{unit.tag}, {parted.why}: {device.tag} stands {'with it' if same else 'elsewhere'}")
