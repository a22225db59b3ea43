"""Roof areas in plan."""

from __future__ import annotations

from permitgen.values.equation import equation, square_root


@equation("A_plan", "area in plan", sloped_area_ft2="A", slope_factor="m")
def plan_area_ft2(sloped_area_ft2: float, slope_factor: float) -> float:
    """Return A ÷ √(1 + m²), ft²; m is rise over run (geometry; IRC R324.6.2 counts areas in plan)."""
    area: float = sloped_area_ft2 / square_root(1 + slope_factor**2)
    return area


@equation("share", "share of the roof that modules cover, in plan", array_area_ft2="A_array", roof_area_ft2="A_roof")
def array_share_percent(array_area_ft2: float, roof_area_ft2: float) -> float:
    """Return 100 × array ÷ roof, both in plan, % (IRC R324.6.2)."""
    return 100 * array_area_ft2 / roof_area_ft2
