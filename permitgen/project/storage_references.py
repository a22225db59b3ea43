"""Checks of what a project file says of storage units: how many there are, and the energy of one and of all."""

from __future__ import annotations

from collections.abc import Iterator

from permitgen.project.reference_check import Check
from permitgen.project.sections import equipment as kinds
from permitgen.reading.problems import Problem

_MOST_UNITS = 99
_SAME_ENERGY = 1e-6


def storage_units(check: Check) -> Iterator[Problem]:
    """The energy of one unit and how many there are say the whole; what is said beside them has to agree."""
    for tag, item in check.models.equipment.items():
        if isinstance(item, kinds.EnergyStorageSystemModel):
            for key, message in _unit_contradictions(tag, item):
                yield check.problem(("equipment", tag, key), message)


def _unit_contradictions(tag: str, item: kinds.EnergyStorageSystemModel) -> Iterator[tuple[str, str]]:
    count, each, total = (value.number if value is not None else None for value in (item.units, item.unit_energy, item.energy))
    if count is not None and not 1 <= count <= _MOST_UNITS:
        yield "units", f"{tag} says {count:.0f} units; expected how many there are, 1 to {_MOST_UNITS}"
    elif each is not None and count is None and "units" not in item.unknown:
        yield "unit_energy", f"{tag} says the energy of one unit and not how many there are; expected units: a whole number"
    elif each is None and total is not None and count not in (None, 1):
        yield "energy", f"{tag} has units; expected unit_energy, the rated energy of one, from which that of all follows"
    elif count is not None and each is not None and total is not None and abs(count * each - total) > _SAME_ENERGY * total:
        yield "energy", f"{tag} says {total:g} kWh; its {count:.0f} units of {each:g} kWh are {count * each:g} kWh"
