"""Where modules lie on a roof plane: rows and columns that fill the outline of an array as the site plan draws it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from permitgen.system.site.geometry import Point, along
from permitgen.system.site.plan import RoofPlane

_SLACK_FT = 0.02
"""Outlines are drawn to a tenth of a foot or so; a module is not lost for a quarter of an inch."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Rows and columns in one outline: lower left corner along the eave and up the slope in plan, and the module's size in plan, ft."""

    low: float
    bottom: float
    across: float
    up: float
    columns: int
    rows: int

    @property
    def capacity(self) -> int:
        """How many modules the outline holds."""
        return self.columns * self.rows


def slope_stretch(slope: float) -> float:
    """Return how much longer a length up the roof is than in plan, √(1 + m²)."""
    return math.sqrt(1 + slope**2)


def setback_in_plan_ft(setback_in: float, slope: float) -> float:
    """Return a setback measured along the roof as it shows in plan, ft."""
    return setback_in / 12 / slope_stretch(slope)


def module_outlines(plane: RoofPlane, count: int, length_in: float, width_in: float) -> tuple[tuple[Point, ...], ...]:
    """Return the outlines of ``count`` modules in plan, or nothing where the outlines of the arrays do not hold so many.

    Upright and lying modules are tried; the way that wastes less of the outlines is taken.
    """
    best: tuple[int, list[Grid]] | None = None
    for high, wide in ((length_in, width_in), (width_in, length_in)):
        grids = [_grid(plane, shape, high, wide) for shape in plane.arrays]
        spare = sum(grid.capacity for grid in grids) - count
        if spare >= 0 and (best is None or spare < best[0]):
            best = (spare, grids)
    return tuple(_filled(plane, best[1], count)) if best is not None else ()


def _grid(plane: RoofPlane, outline: Sequence[Point], high_in: float, wide_in: float) -> Grid:
    low, right = along(outline, plane.across)
    bottom, top = along(outline, plane.up)
    across, up = wide_in / 12, high_in / 12 / slope_stretch(plane.slope)
    columns, rows = int((right - low + _SLACK_FT) / across), int((top - bottom + _SLACK_FT) / up)
    return Grid(low + (right - low - columns * across) / 2, bottom + (top - bottom - rows * up) / 2, across, up, columns, rows)


def _filled(plane: RoofPlane, grids: Sequence[Grid], count: int) -> list[tuple[Point, ...]]:
    found: list[tuple[Point, ...]] = []
    for grid in grids:
        for place in range(min(grid.capacity, count - len(found))):
            row, column = divmod(place, grid.columns)
            found.append(rectangle_on(plane, grid.low + column * grid.across, grid.bottom + row * grid.up, grid.across, grid.up))
    return found


def rectangle_on(plane: RoofPlane, low: float, bottom: float, across: float, up: float) -> tuple[Point, ...]:
    """Return a rectangle on a plane from its coordinates along the eave and up the slope in plan, ft."""
    corners = ((low, bottom), (low + across, bottom), (low + across, bottom + up), (low, bottom + up))
    return tuple((a * plane.across[0] + u * plane.up[0], a * plane.across[1] + u * plane.up[1]) for a, u in corners)
