"""The hanging plan: wall by wall each label and plate with its number, size, material and ink, and after a revision what comes down.

Numbers are those of the label schedule, which the field checklist uses, too; plates carry theirs with a P.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.label import color_words
from permitgen.views.label_denials import numbers_of
from permitgen.views.label_places import label_numbers, label_walls
from permitgen.views.plans.elevations import elevations_of
from permitgen.views.title import DocumentTitle, title_of

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.views.document_list import DocumentChanges, ListedDocument
    from permitgen.views.label import LabelView
    from permitgen.views.label_denials import Denials
    from permitgen.views.label_places import LabelWall
    from permitgen.views.label_set import LabelSet
    from permitgen.views.placard import Placard


@dataclass(frozen=True, slots=True)
class HangingItem:
    """One label or plate: its number, what it is, on what, size as printed, the letter of its material, ink, pieces, Document ID.

    ``denied_by`` are the numbers of the violations that deny something of what it states.
    """

    number: str
    name: str
    on: str
    size: str
    material: str
    ink: str
    pieces: int
    document_id: str
    denied_by: tuple[str, ...] = field(default=(), metadata=BESIDE)


@dataclass(frozen=True, slots=True)
class HangingPlace:
    """A wall with its picture, or a place that no wall shows (``wall`` None), with what hangs there."""

    title: str
    wall: LabelWall | None
    items: tuple[HangingItem, ...]


@dataclass(frozen=True, slots=True)
class HangingPlan:
    """The plan. ``materials`` explain the letters; ``down`` are old labels and plates with their place and why, ``up`` what is new."""

    title: DocumentTitle = field(metadata=BESIDE)
    places: tuple[HangingPlace, ...]
    materials: tuple[tuple[str, str], ...]
    down: tuple[tuple[str, str, str], ...]
    up: tuple[tuple[str, str], ...]
    document_id: str = field(default="", metadata=BESIDE)


def hanging_plan_of(
    evaluation: Evaluation,
    labels: LabelSet,
    sizes: Sequence[str],
    placards: Sequence[Placard],
    changes: DocumentChanges | None,
    denials: Sequence[Denials] = (),
) -> HangingPlan:
    """Return the plan; ``sizes`` are those of the labels as printed, in their order; ``changes`` what the newest revision changed.

    ``denials`` is what violations deny of each label, empty where nothing is.
    """
    materials = {note: chr(ord("A") + index) for index, note in enumerate(dict.fromkeys(label.material_note for label in labels.labels))}
    items = {
        number: _label_item(number, label, size, materials)
        for number, (label, size) in enumerate(zip(labels.labels, sizes, strict=True), start=1)
    }
    items |= {number: replace(items[number], denied_by=numbers_of(denied)) for number, denied in enumerate(denials, start=1) if denied}
    plates = [(placard.place, _plate_item(placard)) for placard in placards]
    walls = label_walls(elevations_of(evaluation), label_numbers(labels, evaluation.system))
    places: list[HangingPlace] = []
    shown: set[int] = set()
    for wall in walls:
        numbers = sorted(wall.shown - shown)
        shown |= wall.shown
        on_wall = {
            item.place.description for tag, item in evaluation.system.equipment.items() if tag in _tags(wall) and item.place is not None
        }
        here = tuple(plate for place, plate in plates if place in on_wall)
        plates = [(place, plate) for place, plate in plates if place not in on_wall]
        places.append(HangingPlace(wall.elevation.title, wall, (*here, *(items[number] for number in numbers))))
    places += _elsewhere(labels, items, shown, plates)
    plan = HangingPlan(
        title=title_of(evaluation),
        places=tuple(places),
        materials=tuple((letter, note) for note, letter in materials.items()),
        down=_down(labels, changes),
        up=tuple((each.name, each.place) for each in changes.new) if changes is not None else (),
    )
    return with_document_id("hanging plan", plan)


def _tags(wall: LabelWall) -> set[str]:
    return {item.tag for item in wall.elevation.items}


def _elsewhere(
    labels: LabelSet, items: Mapping[int, HangingItem], shown: set[int], plates: Sequence[tuple[str, HangingItem]]
) -> list[HangingPlace]:
    """Return what hangs where no wall could be drawn, by place."""
    by_place: dict[str, list[HangingItem]] = {}
    for place, plate in plates:
        by_place.setdefault(place, []).append(plate)
    for number, label in enumerate(labels.labels, start=1):
        if number not in shown:
            by_place.setdefault("; ".join(label.places), []).append(items[number])
    return [HangingPlace(place or "place not stated", None, tuple(found)) for place, found in by_place.items()]


def _label_item(number: int, label: LabelView, size: str, materials: Mapping[str, str]) -> HangingItem:
    return HangingItem(
        number=str(number),
        name=label.name,
        on=label.tag,
        size=size,
        material=materials[label.material_note],
        ink=color_words(label),
        pieces=label.quantity,
        document_id=label.document_id,
    )


def _plate_item(placard: Placard) -> HangingItem:
    name = "Directory placard" if placard.of == 1 else f"Directory placard, placard {placard.number} of {placard.of}"
    return HangingItem(f"P{placard.number}", name, "", placard.size, "plate", "full color", 1, placard.document_id)


def _down(labels: LabelSet, changes: DocumentChanges | None) -> tuple[tuple[str, str, str], ...]:
    """Return what must come down: labels that became false, and prints that the newest revision made old."""
    false = tuple((note.name, note.place, note.why) for note in labels.remove)
    old = tuple((each.name, each.place, _replaced(each, now)) for each, now in changes.old) if changes is not None else ()
    return (*false, *old)


def _replaced(each: ListedDocument, now: str) -> str:
    told = f"Document ID {each.document_id}"
    return f"{told}; in its place hangs {now}" if now else f"{told}; nothing takes its place"
