"""What is stated of the distance between storage units, against what the other units state and what the plan draws.

``to_next_unit`` is the distance to the nearest other unit: the nearest one of a unit states no more than that unit does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.plan_distances import footprint_on_plan
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.site.geometry import distance_between

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.system import System

STATED = "to_next_unit"


@dataclass(frozen=True, slots=True)
class TwoDistances:
    """Two distances of one pair, ft: what a unit states, and what ``told`` says, another unit by its tag or the plan (empty)."""

    stated_ft: float
    other_ft: float
    told: str


def distances_told_twice(system: System, unit: Equipment) -> tuple[TwoDistances, ...]:
    """Return the distances from a storage unit to the next that are told beside its own statement, and must agree with it.

    An entry of several units may mean the distance within itself: it binds no other, and none binds it from above.
    """
    stated = _stated_ft(unit)
    others = [item for item in system.equipment.values() if isinstance(item, EnergyStorageSystem) and item is not unit]
    if not isinstance(unit, EnergyStorageSystem) or stated is None or not others:
        return ()
    return (*_by_others(unit, stated, others), *_by_plan(system, unit, stated, others))


def _stated_ft(unit: Equipment) -> float | None:
    stated = unit.place.fact(STATED) if unit.place is not None else None
    return stated.number if stated is not None else None


def _by_others(unit: EnergyStorageSystem, stated: float, others: list[EnergyStorageSystem]) -> list[TwoDistances]:
    told = {item.tag: _stated_ft(item) for item in others}
    known = {tag: distance for tag, distance in told.items() if distance is not None}
    if not known:
        return []
    least = min(known, key=lambda tag: known[tag])
    is_nearer = known[least] >= stated and len(known) == len(others) and unit.unit_count == 1
    is_farther = known[least] < stated and len(others) == 1 and others[0].unit_count == 1
    return [TwoDistances(stated, known[least], least)] if is_nearer or is_farther else []


def _by_plan(system: System, unit: EnergyStorageSystem, stated: float, others: list[EnergyStorageSystem]) -> list[TwoDistances]:
    own = footprint_on_plan(system, unit)
    shapes = [shape for item in others if (shape := footprint_on_plan(system, item)) is not None]
    if own is None or not shapes:
        return []
    drawn = min(distance_between(own, shape) for shape in shapes)
    whole = len(shapes) == len(others) and all(item.unit_count == 1 for item in (unit, *others))
    return [TwoDistances(stated, drawn, "")] if whole or drawn < stated else []
