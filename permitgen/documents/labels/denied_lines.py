"""The red cloud around a line of a label that a violation denies, with the number of the violation: on proofs, never on what is hung."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.colors import WHITE
from permitgen.documents.canvas.shapes import Group, Shape
from permitgen.documents.canvas.styles import EXTRA_WIDE
from permitgen.documents.symbols.clouds import CLEAR_MM, FAULT_PEN, cloud, fault_beside
from permitgen.documents.symbols.markers import FAULT_HEIGHT_MM, fault, fault_width

if TYPE_CHECKING:
    from permitgen.documents.labels.set_label import SetLabel
    from permitgen.views.label_denials import Denials

LAYER = "denied"
_HALO_PEN = replace(EXTRA_WIDE.colored(WHITE), width_mm=EXTRA_WIDE.width_mm * 2.2)
"""Below the cloud, so that it is seen on a red label, too."""
_ROOM_MM = 0.6


def with_denied_lines(labels: Sequence[SetLabel], denials: Sequence[Denials]) -> list[SetLabel]:
    """Return labels with what is denied of each in red clouds, over all that lies on them."""
    return [_clouded(label, denied) if denied else label for label, denied in zip(labels, denials, strict=True)]


def _clouded(label: SetLabel, denials: Denials) -> SetLabel:
    whole = Box(0.0, 0.0, label.width_mm, label.height_mm)
    boxes = {text: _around([each.at for each in label.letters if each.of == text], whole) for text, _ in denials}
    taken = [each.at for each in label.letters]
    shapes: list[Shape] = []
    for text, numbers in denials:
        box = boxes[text]
        shapes += [*cloud(box, _HALO_PEN), *cloud(box, FAULT_PEN)]
        found = fault_beside(numbers, whole, box, taken)
        # A label full of letters has no room for the number: it hangs on the corner of the cloud, where it hides least.
        marked, place = found if found is not None else _on_corner(numbers, box, whole)
        taken.append(place)
        shapes += marked
    return replace(label, shapes=(*label.shapes, Group(tuple(shapes), layer=LAYER)))


def _around(lines: Sequence[Box], whole: Box) -> Box:
    """Return the box of a cloud around the lines of a sentence; it stays on the label."""
    box = lines[0]
    for line in lines[1:]:
        box = box.joined(line)
    box, most = box.grown(CLEAR_MM + _ROOM_MM), whole.grown(-CLEAR_MM)
    return Box(max(box.left, most.left), max(box.top, most.top), min(box.right, most.right), min(box.bottom, most.bottom))


def _on_corner(numbers: tuple[str, ...], box: Box, whole: Box) -> tuple[tuple[Shape, ...], Box]:
    half, rise = fault_width(numbers) / 2, FAULT_HEIGHT_MM / 2
    x, y = min(box.right, whole.right - half), max(box.top, whole.top + rise)
    return fault(numbers).at(x, y), Box(x - half, y - rise, x + half, y + rise)
