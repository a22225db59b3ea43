"""Clouds on the one-line diagram: around the words of units and the tags of circuits that the newest revision changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from permitgen.documents.canvas.bounds import Box, placed_boxes
from permitgen.documents.canvas.shapes import Shape, Text
from permitgen.documents.diagram.sketch import Item
from permitgen.documents.symbols.clouds import BULGE_MM, cloud, delta_beside
from permitgen.views.revision_clouds import RevisionClouds

_AROUND_MM = 0.7


def diagram_clouds(items: Sequence[Item], clouds: RevisionClouds, room: Box) -> tuple[list[Shape], list[Shape], list[Box]]:
    """Return the clouds, which lie under the diagram, the deltas beside them, and the room that both take."""
    taken = [item.box for item in items if item.kind != "boundary"]
    around: list[Shape] = []
    beside: list[Shape] = []
    boxes: list[Box] = []
    for box in _changed(items, clouds):
        around += cloud(box)
        boxes.append(box.grown(BULGE_MM))
        found = delta_beside(box, clouds.mark, room, taken)
        if found is not None:
            beside += found[0]
            taken.append(found[1])
            boxes.append(found[1])
    return around, beside, boxes


def _changed(items: Sequence[Item], clouds: RevisionClouds) -> Iterator[Box]:
    """Yield the box of each thing that changed, units before circuits, in the order of their tags."""
    for tag in sorted(clouds.units):
        box = _joined([item.box for item in items if item.kind == "text" and item.name == tag])
        if box is not None:
            yield box.grown(_AROUND_MM)
    for item in items:
        if item.name == "circuit tag" and any(isinstance(s, Text) and s.text in clouds.circuits for s, _ in placed_boxes(item.shapes)):
            yield item.box.grown(_AROUND_MM)


def _joined(boxes: Sequence[Box]) -> Box | None:
    joined: Box | None = None
    for box in boxes:
        joined = box if joined is None else joined.joined(box)
    return joined
