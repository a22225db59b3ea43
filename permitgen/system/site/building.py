"""What the project file says of a building or structure beside its outline."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value

# What a building or structure is used for: dwellings, buildings that nobody lives in, structures that are no building.
DWELLING_USES = ("one-family", "two-family", "townhouse", "other dwelling")
NONHABITABLE_USES = ("garage", "carport", "barn", "shed")
# How many dwelling units a building has by its use; any number where none is named.
UNITS_BY_USE = {"one-family": 1, "townhouse": 1, "two-family": 2}
# What belongs to a dwelling as a part of its household: its outlets are those of the dwelling. A barn or a workshop may be a trade's.
ACCESSORY_USES = ("garage", "carport", "shed")
STRUCTURE_USES = ("pole", "pedestal")
ALONE = "none"
# What serves a dwelling unit of which the project shows nothing.
NOTHING = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class DwellingUnit:
    """One dwelling unit of ``building``.

    ``served_by`` is the tag of the panel, main or meter through which its whole load comes, empty where the project shows nothing of it.
    """

    name: str
    building: str
    served_by: str
    floor_area_ft2: Value | None = None
    facts: tuple[tuple[str, Value], ...] = ()
    at: ProjectLine | None = None

    def fact(self, name: str) -> Value | None:
        """Return a further measured fact (``laundry_circuits``), or None where the project does not state it."""
        return dict(self.facts).get(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedBuilding:
    """A building or structure by its name: ``use`` is empty where the project does not say.

    ``attached_to`` is a building with which it is one structure, ``none`` where it stands by itself, empty where only the plan tells;
    ``units`` are its dwelling units, none where the project does not tell them apart.
    """

    name: str
    use: str = ""
    attached_to: str = ""
    sprinklers: bool | None = None
    units: tuple[DwellingUnit, ...] = ()
    at: ProjectLine | None = None
