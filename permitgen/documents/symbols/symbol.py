"""What a symbol is: shapes about its own origin, with a terminal at each side on the line that runs through it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from permitgen.documents.canvas.bounds import Box, bounds, shifted
from permitgen.documents.canvas.shapes import Shape
from permitgen.documents.canvas.styles import MEDIUM, THIN, WIDE, Pen

UNIT = 2.0
"""The module of all symbols in mm: terminals, rows and columns lie on multiples of it."""


@dataclass(frozen=True, slots=True)
class Inks:
    """Pens of a drawing: ``line`` for conductors, ``symbol`` for the inside of symbols. Existing parts are drawn thinner than new ones."""

    line: Pen = WIDE
    symbol: Pen = MEDIUM


NEW = Inks()
EXISTING = Inks(line=THIN, symbol=THIN)


@dataclass(frozen=True)
class Symbol:
    """Shapes in mm about the origin; ``left`` and ``right`` are the x of its terminals on y = 0. ``says`` is its line in the legend."""

    name: str
    says: str
    shapes: tuple[Shape, ...]
    left: float
    right: float

    @cached_property
    def box(self) -> Box:
        """The box around all ink."""
        found = bounds(self.shapes)
        if found is None:
            raise ValueError(f"the symbol {self.name} has no ink")
        return found

    def at(self, x: float, y: float) -> tuple[Shape, ...]:
        """Return the shapes with the origin moved to (x, y)."""
        return tuple(shifted(shape, x, y) for shape in self.shapes)
