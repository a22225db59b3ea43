"""What plans to scale show on the site: runs, areas kept clear, equipment with its tags."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from functools import partial

from permitgen.documents.canvas.bounds import Box, box_of_points
from permitgen.documents.canvas.colors import LIGHT_GRAY, WHITE
from permitgen.documents.canvas.figures import circle, hatching, polygon
from permitgen.documents.canvas.shapes import Polyline, Shape
from permitgen.documents.canvas.styles import (
    FINE,
    LONG_DASH,
    MEDIUM,
    MM_PER_INCH,
    SHORT_DASH,
    THIN,
    WIDE,
    Pen,
)
from permitgen.documents.plan_drawing.labels import LabelRoom
from permitgen.documents.plan_drawing.scales import Lay
from permitgen.documents.plan_drawing.site_drawing import middle_of, on_sheet
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.clouds import CLEAR_MM, FAULT_PEN, cloud, delta_beside, fault_beside
from permitgen.views.plans.parts import PlanEquipment, PlanRoute, PlanZone, Point
from permitgen.views.sheet_marks import SheetMarks

UNDERGROUND_PEN = Pen(MEDIUM.width_mm, dash_mm=LONG_DASH)
CLEARANCE_PEN = Pen(FINE.width_mm, dash_mm=SHORT_DASH)
_REMOVED_PEN = Pen(THIN.width_mm, dash_mm=SHORT_DASH)


def middle_of_longest(way: Sequence[Point]) -> Point:
    """Return the middle of the longest stretch of a way."""
    a, b = max(itertools.pairwise(way), key=lambda pair: math.dist(*pair))
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


def route_shapes(routes: Iterable[PlanRoute], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return raceways and cables; those underground dashed."""
    shapes: list[Shape] = []
    for route in routes:
        way = on_sheet(lay, route.points)
        shapes.append(Polyline(way, UNDERGROUND_PEN if route.is_underground else MEDIUM))
        space.take_outline(way, 1.0, closed=False)
    return shapes


def zone_shapes(zones: Iterable[PlanZone], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return areas to be kept clear, dashed."""
    shapes: list[Shape] = []
    for zone in zones:
        outline = on_sheet(lay, zone.outline)
        shapes.append(polygon(outline, pen=CLEARANCE_PEN))
        space.take_outline(outline, 0.5)
    return shapes


def hatched_shapes(zones: Iterable[PlanZone], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return areas to be kept clear, hatched as the National CAD Standard has them, 1/8 in apart (from memory)."""
    shapes: list[Shape] = []
    for zone in zones:
        outline = on_sheet(lay, zone.outline)
        shapes += [*hatching(outline, pen=FINE, spacing=MM_PER_INCH / 8), polygon(outline, pen=CLEARANCE_PEN)]
        space.take_outline(outline, 0.1)
    return shapes


def equipment_shapes(equipment: Iterable[PlanEquipment], lay: Lay, space: LabelRoom) -> list[Shape]:
    """Return each piece as its outline where its size is known, else as a small circle at its place."""
    shapes: list[Shape] = []
    for item in equipment:
        x, y = lay.at(item.at)
        if item.outline:
            outline = on_sheet(lay, item.outline)
            pen = _REMOVED_PEN if item.is_removed else THIN if item.is_existing else WIDE
            shapes.append(polygon(outline, pen=pen, fill=WHITE if item.is_removed else LIGHT_GRAY))
            space.take_outline(outline, 1.2)
        else:
            shapes.append(circle(x, y, 0.8, pen=_REMOVED_PEN if item.is_removed else MEDIUM, fill=WHITE))
        space.boxes.append(Box(x - 0.9, y - 0.9, x + 0.9, y + 0.9))
    return shapes


def name_equipment(equipment: Iterable[PlanEquipment], lay: Lay, space: LabelRoom) -> None:
    """Put tags beside equipment, on the side a person stands, with the number of the placard's step; none where the next one's belongs."""
    named = []
    for item in sorted(equipment, key=lambda item: (-item.at[1], item.at[0])):
        words = item.tag_words
        anchor = middle_of(on_sheet(lay, item.outline)) if item.outline else lay.at(item.at)
        named.append((anchor, words, lay.direction(item.facing), item.step))
    spots = [(space.natural_box(anchor, words, ahead, LETTERING.strong, step), _SPOT) for anchor, words, ahead, step in named]
    kept = list(space.areas)
    for index, (anchor, words, ahead, step) in enumerate(named, start=1):
        space.areas = [*kept, *spots[index:]]
        space.label(anchor, (words,), toward=ahead, style=LETTERING.strong, disc=step)
    space.areas = kept


_SPOT = 1.0
"""What it costs to stand where the label of other equipment belongs."""


Marked = tuple[tuple[Shape, ...], Box] | None
"""A mark beside a cloud with its box; None where there is no room for it."""


def cloud_changes(things: Iterable[tuple[str, Box | None]], mark: str, space: LabelRoom) -> None:
    """Put a cloud around each thing that changed, together with its label where that stands near, and the delta beside it."""
    clouds: list[Box] = []
    for name, thing in things:
        _cloud(name, thing, MEDIUM, partial(delta_beside, mark, space.room), clouds, space)


def cloud_faults(things: Iterable[tuple[str, Box | None, tuple[str, ...]]], space: LabelRoom) -> None:
    """Put a red cloud around each thing that a violation names, with the numbers of its violations; none where there are no numbers."""
    clouds: list[Box] = []
    for name, thing, numbers in things:
        if numbers:
            _cloud(name, thing, FAULT_PEN, partial(fault_beside, numbers, space.room), clouds, space)


def _cloud(
    name: str, thing: Box | None, pen: Pen, beside: Callable[[Box, Sequence[Box]], Marked], clouds: list[Box], space: LabelRoom
) -> None:
    label = space.named.get(name)
    box = thing or label
    if thing is not None and label is not None and thing.grown(_NEAR_LABEL_MM).shared(label) is not None:
        box = thing.joined(label)
    if box is None or any(other.contains(box) for other in clouds):
        return
    around = _around_labels(box.grown(0.8), space)
    clouds.append(around)
    space.strokes += cloud(around, pen)
    found = beside(around, [*space.boxes, *(other.grown(CLEAR_MM) for other in clouds)])
    if found is not None:
        space.words += found[0]
        space.boxes.append(found[1])


def mark_plan(equipment: Sequence[PlanEquipment], routes: Iterable[tuple[str, str]], marks: SheetMarks, lay: Lay, space: LabelRoom) -> None:
    """Cloud equipment and runs that the revision changed or a violation names; ``routes`` are their tags with the words beside them."""
    runs = list(routes)
    changed = [(name, box) for tag, name, box in _boxes(equipment, lay) if tag in marks.clouds.equipment]
    cloud_changes([*changed, *((name, None) for tag, name in runs if tag in marks.clouds.routes)], marks.clouds.mark, space)
    faulty: list[tuple[str, Box | None, tuple[str, ...]]] = [
        (name, box, marks.violations.in_or_at([tag])) for tag, name, box in _boxes(equipment, lay)
    ]
    cloud_faults([*faulty, *((name, None, marks.violations.at(tag.split("/"))) for tag, name in runs)], space)


def _boxes(equipment: Iterable[PlanEquipment], lay: Lay) -> list[tuple[str, str, Box]]:
    """Return tag, words and box on the sheet of each piece of equipment."""
    return [(item.tag, item.tag_words, box_of_points(on_sheet(lay, item.outline or (item.at,))).grown(1.0)) for item in equipment]


_NEAR_LABEL_MM = 6.0


_MOST_GROWN = 3.0


def _around_labels(box: Box, space: LabelRoom) -> Box:
    """Return a box whose cloud runs around the labels that it would cut, where that does not make it much larger."""
    largest = _MOST_GROWN * box.width * box.height
    for _ in range(2):
        edge = box.grown(CLEAR_MM)
        for label in space.placed:
            joined = box.joined(label)
            if edge.shared(label) is not None and not box.contains(label) and joined.width * joined.height <= largest:
                box = joined
    return box


def name_zones(zones: Iterable[PlanZone], lay: Lay, space: LabelRoom) -> None:
    """Put the words of areas at their upper right corner."""
    for zone in zones:
        corner = max(on_sheet(lay, zone.outline), key=lambda p: (p[0], -p[1]))
        space.label(corner, zone.words, toward=(1.0, -1.0))
