"""Raceway fill."""

from __future__ import annotations

import math

from permitgen.values.equation import equation


@equation("A", "area of equal conductors", conductors_count="n", each_in2="a")
def conductor_group_area_in2(conductors_count: float, each_in2: float) -> float:
    """Return the area of n equal conductors, in² (Chapter 9 Table 1 and Table 5)."""
    return conductors_count * each_in2


@equation("A_perm", "permitted fill", fill_percent="p", total_area_in2="A_total")
def permitted_fill_in2(fill_percent: float, total_area_in2: float) -> float:
    """Return the permitted share of the raceway's area, in² (Chapter 9 Table 1, Table 4)."""
    return fill_percent / 100 * total_area_in2


@equation("A", "area of a round conductor or cable", diameter_in="d")
def round_area_in2(diameter_in: float) -> float:
    """Return π ÷ 4 × d², in² (Chapter 9, Note 5)."""
    return math.pi / 4 * diameter_in**2


@equation("fill", "fill of the raceway", conductors_area_in2="A_cond", total_area_in2="A_total")
def raceway_fill_percent(conductors_area_in2: float, total_area_in2: float) -> float:
    """Return the filled part of the raceway's cross section, % (Chapter 9 Tables 1 and 4)."""
    return 100 * conductors_area_in2 / total_area_in2


@equation("n", "conductors of one size that fit", permitted_area_in2="A_perm", each_in2="a")
def conductors_that_fit_count(permitted_area_in2: float, each_in2: float) -> float:
    """Return permitted area ÷ area of one conductor, rounded by Note 7 (Chapter 9, Note 7; Annex C)."""
    return permitted_area_in2 / each_in2


@equation("j", "jam ratio", internal_diameter_in="D", conductor_diameter_in="d")
def jam_ratio_factor(internal_diameter_in: float, conductor_diameter_in: float) -> float:
    """Return internal diameter of the raceway ÷ diameter of the conductor (Chapter 9 Table 1, informational note)."""
    return internal_diameter_in / conductor_diameter_in


@equation("d", "estimated diameter of PV wire", bare_diameter_in="d_0", wall_in="w", tolerance_factor="k")
def pv_wire_diameter_in(bare_diameter_in: float, wall_in: float, tolerance_factor: float) -> float:
    """Return (conductor + 2 × wall) × tolerance, in (an estimate; UL 4703 walls, Chapter 9 Table 8 conductor)."""
    return (bare_diameter_in + 2 * wall_in) * tolerance_factor


@equation("A_g", "cross section of a wiring space or wireway", width_in="w", depth_in="d")
def gutter_area_in2(width_in: float, depth_in: float) -> float:
    """Return width × depth of a wiring space or wireway, in² (312.8(A), 376.22(A))."""
    return width_in * depth_in
