"""What the project file says of a building or structure beside its outline."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine

# What a building or structure is used for: dwellings, buildings that nobody lives in, structures that are no building.
DWELLING_USES = ("one-family", "two-family", "townhouse", "other dwelling")
NONHABITABLE_USES = ("garage", "carport", "barn", "shed")
STRUCTURE_USES = ("pole", "pedestal")
ALONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedBuilding:
    """A building or structure by its name: ``use`` is empty where the project does not say.

    ``attached_to`` is a building with which it is one structure, ``none`` where it stands by itself, empty where only the plan tells.
    """

    name: str
    use: str = ""
    attached_to: str = ""
    sprinklers: bool | None = None
    at: ProjectLine | None = None
