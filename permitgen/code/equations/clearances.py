"""Distances around equipment and on roofs."""

from __future__ import annotations

from permitgen.values.equation import equation, larger_of, square_root


@equation("L", "length in inches", length_ft="L")
def length_in(length_ft: float) -> float:
    """Return 12 × the length, in: listings and roof setbacks state inches."""
    return 12 * length_ft


@equation("W", "width of the working space", smallest_in="W_0", equipment_in="W_e")
def working_width_in(smallest_in: float, equipment_in: float) -> float:
    """Return the larger of 30 in and the width of the equipment, in (110.26(A)(2))."""
    width: float = larger_of(smallest_in, equipment_in)
    return width


@equation("H", "height of the working space", smallest_ft="H_0", equipment_in="H_e")
def working_height_ft(smallest_ft: float, equipment_in: float) -> float:
    """Return the larger of 6-1/2 ft and the height of the equipment, ft (110.26(A)(3))."""
    height: float = larger_of(smallest_ft, equipment_in / 12)
    return height


@equation("s", "distance along the slope", plan_ft="s_plan", slope_factor="m")
def along_slope_in(plan_ft: float, slope_factor: float) -> float:
    """Return 12 × s × √(1 + m²), in: a distance in plan, measured on a roof of slope m, rise over run (geometry)."""
    distance: float = 12 * plan_ft * square_root(1 + slope_factor**2)
    return distance
