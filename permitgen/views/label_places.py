"""Where each label goes, on the elevations: the numbers of the label schedule beside the equipment that carries them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.system import System
    from permitgen.views.label_set import LabelSet
    from permitgen.views.placard import Placard
    from permitgen.views.plans.elevations import Elevation, Elevations

_ON_ONE_LINE = 4
_NOTE = "LABELS: numbers refer to the label schedule, E-607."


@dataclass(frozen=True, slots=True)
class LabelWall:
    """A wall on which labels go: its elevation, and the numbers of the label schedule by equipment tag."""

    elevation: Elevation
    numbers: Mapping[str, tuple[int, ...]]

    @property
    def shown(self) -> frozenset[int]:
        """The numbers that this wall shows."""
        return frozenset(number for item in self.elevation.items for number in self.numbers.get(item.tag, ()))


def label_walls(elevations: Elevations, numbers: Mapping[str, tuple[int, ...]]) -> tuple[LabelWall, ...]:
    """Return the walls on which at least one label goes."""
    walls = (LabelWall(wall, numbers) for wall in elevations.walls)
    return tuple(wall for wall in walls if wall.shown)


def label_numbers(labels: LabelSet, system: System) -> dict[str, tuple[int, ...]]:
    """Return for each equipment tag the numbers of the labels that go where it stands, as the label schedule counts them."""
    found: dict[str, tuple[int, ...]] = {}
    for tag in system.equipment:
        place = _place_of(system, tag)
        numbers = tuple(number for number, label in enumerate(labels.labels, start=1) if place and place in label.places)
        if numbers:
            found[tag] = numbers
    return found


def with_label_numbers(elevations: Elevations, numbers: dict[str, tuple[int, ...]]) -> Elevations:
    """Return the elevations with the label numbers below each tag."""
    walls = tuple(_numbered(wall, numbers) for wall in elevations.walls)
    is_numbered = any(item.tag in numbers for wall in walls for item in wall.items)
    return replace(elevations, walls=walls, notes=(*elevations.notes, _NOTE) if is_numbered else elevations.notes)


def with_placards(elevations: Elevations, placards: Sequence[Placard], system: System) -> Elevations:
    """Return the elevations with each plate of the directory named at the first equipment that stands where it is posted."""
    posted: dict[str, list[int]] = {}
    tags = [item.tag for wall in elevations.walls for item in wall.items if item.tag in system.equipment]
    for placard in placards:
        tag = next((tag for tag in tags if _place_of(system, tag) == placard.place), "")
        posted.setdefault(tag, []).append(placard.number)
    walls = tuple(
        replace(wall, items=tuple(replace(item, words=(*item.words, *_plates(posted.get(item.tag, ())))) for item in wall.items))
        for wall in elevations.walls
    )
    return replace(elevations, walls=walls)


def _place_of(system: System, tag: str) -> str:
    place = system.equipment[tag].place
    return place.description if place is not None else ""


def _plates(numbers: Sequence[int]) -> tuple[str, ...]:
    return tuple(f"PLACARD {number}, E-608" for number in numbers)


def _numbered(wall: Elevation, numbers: dict[str, tuple[int, ...]]) -> Elevation:
    return replace(wall, items=tuple(replace(item, words=(*item.words, *_words(numbers.get(item.tag, ())))) for item in wall.items))


def _words(numbers: tuple[int, ...]) -> tuple[str, ...]:
    if not numbers:
        return ()
    rows = [numbers[start : start + _ON_ONE_LINE] for start in range(0, len(numbers), _ON_ONE_LINE)]
    lines = [", ".join(map(str, row)) for row in rows]
    lines[0] = f"LABELS {lines[0]}" if len(numbers) > 1 else f"LABEL {lines[0]}"
    return tuple(lines)
