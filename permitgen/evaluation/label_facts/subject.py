"""An object on which a fact holds, and the location it stands at."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.handle import Handle
    from permitgen.system.place import Place
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class LabelSubject:
    """The object a label is due on. ``tag`` names it (a tag, or a tag and a part); ``place`` is where the label goes."""

    tag: str
    name: str
    place: Place | None
    quantity: int = 1

    @property
    def equipment(self) -> str:
        """Tag of the enclosure."""
        return self.tag.partition(".")[0]


Found = tuple[LabelSubject, ...] | None
"""Where a fact holds: its objects, none (an empty tuple), or None when the project does not say."""

Fact = Callable[["Evaluation"], Found]


def on_equipment(item: Equipment, quantity: int = 1) -> LabelSubject:
    """Return a piece of equipment as the object of a label."""
    return LabelSubject(item.tag, item.name, item.place, quantity)


def on_handle(system: System, handle: Handle) -> LabelSubject:
    """Return a handle as the object of a label: its enclosure's tag where it is the enclosure's main or own switch."""
    own = handle.kind in ("main breaker", "rapid shutdown initiator", "energy storage disconnect", "generator stop")
    item = system.equipment.get(handle.tag)
    if own and item is not None:
        return on_equipment(item)
    if handle.kind == "breaker" and item is not None:
        return LabelSubject(handle.id, f"{handle.name}, {item.name}", handle.place)
    return LabelSubject(handle.id, handle.name, handle.place)


def each_once(subjects: Iterable[LabelSubject]) -> tuple[LabelSubject, ...]:
    """Return the subjects, each tag once, in order."""
    found: dict[str, LabelSubject] = {}
    for subject in subjects:
        found.setdefault(subject.tag, subject)
    return tuple(found.values())


def one_a_location(subjects: Iterable[LabelSubject]) -> tuple[LabelSubject, ...]:
    """Return the first subject at each location: enclosures on one wall of one space stand together."""
    found: dict[tuple[str, ...], LabelSubject] = {}
    for subject in subjects:
        found.setdefault(_location(subject), subject)
    return tuple(found.values())


def is_same_location(one: LabelSubject, other: LabelSubject) -> bool:
    """Return whether two subjects stand on the same wall of the same space."""
    return _location(one) == _location(other)


def _location(subject: LabelSubject) -> tuple[str, ...]:
    place = subject.place
    if place is None or not place.space:
        return (subject.equipment,)
    return (place.building, place.space, place.faces.words if place.faces is not None else "")
