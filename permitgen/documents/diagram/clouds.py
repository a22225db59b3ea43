"""Clouds on diagrams: around the words of units and the tags of circuits that the newest revision changed, or a violation names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from permitgen.documents.canvas.bounds import Box, placed_boxes
from permitgen.documents.canvas.shapes import Shape, Text
from permitgen.documents.canvas.styles import MEDIUM, Pen
from permitgen.documents.diagram.sketch import Item
from permitgen.documents.symbols.clouds import CLEAR_MM, FAULT_PEN, cloud, delta_beside, fault_beside
from permitgen.views.revision_clouds import RevisionClouds
from permitgen.views.sheet_marks import SheetMarks
from permitgen.views.violations import Violations

_AROUND_MM = 0.7


def diagram_clouds(items: Sequence[Item], marks: SheetMarks, room: Box) -> tuple[list[Shape], list[Shape], list[Box]]:
    """Return the clouds, which lie under the diagram, the deltas and numbers beside them, and the room that all take."""
    taken = [item.box for item in items if item.kind != "boundary"]
    around: list[Shape] = []
    beside: list[Shape] = []
    boxes: list[Box] = []

    def mark(box: Box, pen: Pen, found: tuple[tuple[Shape, ...], Box] | None) -> None:
        around.extend(cloud(box, pen))
        boxes.append(box.grown(CLEAR_MM))
        if found is not None:
            beside.extend(found[0])
            taken.append(found[1])
            boxes.append(found[1])

    for box in _changed(items, marks.clouds):
        mark(box, MEDIUM, delta_beside(marks.clouds.mark, room, box, taken))
    for box, numbers in _faulty(items, marks.violations):
        mark(box, FAULT_PEN, fault_beside(numbers, room, box, taken))
    return around, beside, boxes


def _changed(items: Sequence[Item], clouds: RevisionClouds) -> Iterator[Box]:
    """Yield the box of each thing that changed, units before circuits, in the order of their tags."""
    for tag in sorted(clouds.units):
        box = _words_of(items, tag)
        if box is not None:
            yield box
    for item, tags in _circuit_tags(items):
        if clouds.circuits.intersection(tags):
            yield item.box.grown(_AROUND_MM)


def _faulty(items: Sequence[Item], violations: Violations) -> Iterator[tuple[Box, tuple[str, ...]]]:
    """Yield the box of each thing that a violation names with the numbers: of a unit also what stands in it."""
    if not violations.listed:
        return
    for tag in dict.fromkeys(item.name for item in items if item.kind == "text" and item.name):
        numbers, box = violations.in_or_at([tag]), _words_of(items, tag)
        if numbers and box is not None:
            yield box, numbers
    for item, tags in _circuit_tags(items):
        numbers = violations.at(tag for words in tags for tag in words.split("/"))
        if numbers:
            # The sizes of the conductors stand close below the tag.
            yield item.box, numbers


def _words_of(items: Sequence[Item], tag: str) -> Box | None:
    box = _joined([item.box for item in items if item.kind == "text" and item.name == tag])
    return None if box is None else box.grown(_AROUND_MM)


def _circuit_tags(items: Sequence[Item]) -> Iterator[tuple[Item, list[str]]]:
    """Yield the hexagons on lines, each with its words."""
    for item in items:
        if item.name == "circuit tag":
            yield item, [shape.text for shape, _ in placed_boxes(item.shapes) if isinstance(shape, Text)]


def _joined(boxes: Sequence[Box]) -> Box | None:
    joined: Box | None = None
    for box in boxes:
        joined = box if joined is None else joined.joined(box)
    return joined
