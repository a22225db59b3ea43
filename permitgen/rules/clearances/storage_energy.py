"""The rated energy of storage stays within the limit of each place, and each unit within that of a unit.

Rated energy counts, not usable energy. The limits are those of a dwelling with all that belongs to it. Where a book leaves open whether
its limits hold for each place or for the property together, the property is counted, unless the jurisdiction's option
``ess_limit_counts`` says ``location``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.building_use import dwellings_of, may_belong_to
from permitgen.rules.quantities.siting_places import LIMIT_FIELD, SitingClass, siting_class, storage_units
from permitgen.rules.rule import rule
from permitgen.values.equation import sum_of
from permitgen.values.figure import figure

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Whole
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
    from permitgen.values.value import Value

OPTION = "ess_limit_counts"


@rule(
    "storage-energy",
    title="The rated energy of storage stays within the limit of each place, and each unit within that of a unit",
    provision="ess_siting_energy",
    judges="system",
)
def judge(_subject: Whole, given: Given) -> Judgement:
    """Judge the energy of all storage units, place by place.

    Requires: each unit ≤ 20 kWh; together ≤ 40 kWh in utility spaces, ≤ 80 kWh in garages, on outside walls, on the ground.
    Why: more energy in one place than its walls can withstand makes a fire that nobody fights.
    Applies to: storage at one- and two-family dwellings; larger systems follow the commercial chapters.
        Two dwellings on one site have their limits each.
        Of equal units behind one output each counts by itself, and all of them for the place.
    Example that fails: four units of 12.4 kWh in a basement, 49.6 kWh.
    Example that passes: the same units in the garage.
    """
    units = storage_units(given)
    if not units:
        return does_not_apply("no storage")
    provision = given.provision("ess_siting_energy")
    limit = provision.value("unit_kwh")
    parts = [
        *parts_for(units, lambda unit: _unit(given, unit, limit)),
        *[part for each in _by_dwelling(given, units) for part in parts_of(lambda each=each: _places(given, *each))],  # type: ignore[misc]
        *parts_of(lambda: _property(given, units)),
    ]
    energy = sum(unit.energy_kwh.number for unit in units if unit.energy_kwh is not None)
    return all_of(f"{figure(energy)} kWh of storage, within the limits of its places", parts)


def _unit(given: Given, unit: EnergyStorageSystem, limit: Value) -> Judgement:
    energy = given.need(unit.energy_of_one_kwh, f"rated energy of {_of_one(unit)}{unit.tag}").named(f"E_{unit.tag}")
    return require_at_most(f"{unit.tag}: {energy.figure} kWh in one unit", computed=energy, limit=limit)


def _of_one(unit: EnergyStorageSystem) -> str:
    return "" if unit.unit_count == 1 else "one unit of "


def _by_dwelling(given: Given, units: Sequence[EnergyStorageSystem]) -> list[tuple[Sequence[EnergyStorageSystem], str]]:
    """Return the units of each dwelling, with the words by which it is told from the others.

    What is in no dwelling (a garage by itself, the ground) or nobody knows where counts with each of them.
    """
    dwellings = dwellings_of(given)
    if len(dwellings) < 2:
        return [(units, "")]
    counted = [(tuple(unit for unit in units if may_belong_to(given, unit.tag, each)), f", {min(each)}") for each in dwellings]
    return [(found, words) for found, words in counted if found]


def _places(given: Given, units: Sequence[EnergyStorageSystem], dwelling: str) -> list[Judgement]:
    """The limit of each kind of place; a unit whose place is not known leaves the others theirs."""
    by_kind: dict[SitingClass, list[EnergyStorageSystem]] = {}
    unknown = parts_for(units, lambda unit: _sort(given, unit, by_kind))
    kinds = (kind for kind in by_kind if kind is not SitingClass.HABITABLE)
    return [*unknown, *parts_for(kinds, lambda kind: _place(given, kind, by_kind[kind], dwelling))]


def _sort(given: Given, unit: EnergyStorageSystem, by_kind: dict[SitingClass, list[EnergyStorageSystem]]) -> None:
    by_kind.setdefault(siting_class(given, unit), []).append(unit)


def _place(given: Given, kind: SitingClass, units: list[EnergyStorageSystem], dwelling: str) -> Judgement:
    total = _sum(given, units, f"storage, {kind}{dwelling}")
    limit = given.provision("ess_siting_energy").value(LIMIT_FIELD[kind])
    return require_at_most(f"{total.figure} kWh, {kind}{dwelling}", computed=total, limit=limit)


def _property(given: Given, units: Sequence[EnergyStorageSystem]) -> Judgement | None:
    provision = given.provision("ess_siting_energy")
    if given.option(OPTION, provision.text("counted")) != "property":
        return None
    total = _sum(given, list(units), "storage on the property")
    return require_at_most(f"{total.figure} kWh on the property", computed=total, limit=provision.value("property_kwh"))


def _energy(given: Given, unit: EnergyStorageSystem) -> Value:
    return given.need(unit.energy_kwh, f"rated energy of {unit.tag}").named(f"E_{unit.tag}")


def _sum(given: Given, units: list[EnergyStorageSystem], title: str) -> Value:
    return sum_of([_energy(given, unit) for unit in units], symbol="ΣE", title=title)
