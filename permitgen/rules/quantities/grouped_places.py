"""Whether pieces of equipment stand in one group: at one wall of one space, or in sight of each other by the project's word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.siting_buildings import building_of
from permitgen.system.walks.reach_of_hand import is_in_sight

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment

Location = tuple[object, ...]


def location_of(given: Given, item: Equipment) -> Location:
    """Return building, space and wall at which equipment stands.

    Raises:
        MissingFactError: its place, its space, or its building is not stated.
    """
    place = given.need(item.place, f"place of {item.tag}")
    space = given.need(place.space or None, f"space in which {item.tag} stands")
    return (building_of(given, item.tag), space, place.faces)


def groups_of(given: Given, items: Sequence[Equipment]) -> tuple[tuple[Equipment, ...], ...]:
    """Return the items by groups, in order: whatever stands at one location with another, or in sight of it, is in its group.

    Raises:
        MissingFactError: as for ``location_of``.
    """
    groups: list[list[Equipment]] = []
    for item in items:
        near = [group for group in groups if any(_stand_together(given, item, other) for other in group)]
        groups = [group for group in groups if group not in near]
        groups.append([*(each for group in near for each in group), item])
    return tuple(tuple(group) for group in groups)


def _stand_together(given: Given, item: Equipment, other: Equipment) -> bool:
    return bool(is_in_sight(item, other)) or location_of(given, item) == location_of(given, other)
