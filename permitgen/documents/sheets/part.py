"""What one subject puts on the sheets: drawings, each of its own shape, and groups of blocks that go wherever there is room for them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box, bounds
from permitgen.documents.canvas.shapes import Shape
from permitgen.documents.sheets.flowing import Block
from permitgen.views.plan_sheets import SHEETS

_AIR_MM = 2.0


@dataclass(slots=True)
class DrawnSheet:
    """A drawing where it would lie on a sheet of its own, and the boxes it takes; ``scale`` is what the title block prints."""

    shapes: list[Shape]
    taken: list[Box]
    scale: str


@dataclass(frozen=True, slots=True)
class SheetPart:
    """A subject of the plan set.

    ``drawings`` come each with smaller forms (the largest first), drawn when asked for: a smaller one is taken only where it spares a
    sheet. ``groups`` are blocks that stay together, the most wanted first; the first ``together`` of them stand on one sheet, where one
    holds them all.
    The drawings of a subject that ``floats`` may lie beside any table. The first ``part_ways`` of them go on from one to the other and name
    the sheet where they do, so that each opens a sheet of its own; one alone goes on nowhere.
    """

    number: str
    drawings: Sequence[Sequence[Callable[[], DrawnSheet]]] = ()
    groups: Sequence[Sequence[Block]] = ()
    own_title: str = ""
    floats: bool = False
    together: int = 0
    part_ways: int = 0

    @property
    def title(self) -> str:
        """The title of the subject."""
        return self.own_title or SHEETS[self.number]

    @property
    def is_empty(self) -> bool:
        """Whether it puts nothing on any sheet."""
        return not self.drawings and not any(self.groups)


def taken_by(shapes: Iterable[Shape]) -> list[Box]:
    """Return the room that a drawing takes: the box around everything it shows."""
    box = bounds(shapes)
    return [box.grown(_AIR_MM)] if box is not None else []


def as_drawn(sheets: Iterable[DrawnSheet]) -> tuple[tuple[Callable[[], DrawnSheet]], ...]:
    """Return drawings that are made already and have one form each."""
    return tuple((lambda sheet=sheet: sheet,) for sheet in sheets)
