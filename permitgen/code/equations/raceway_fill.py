"""Raceway fill."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation("A", "area of equal conductors", conductors_count="n", each_in2="a")
def conductor_group_area_in2(conductors_count: float, each_in2: float) -> float:
    """Return the area of n equal conductors, in² (Chapter 9 Table 1 and Table 5)."""
    return conductors_count * each_in2


@equation("A_perm", "permitted fill", fill_percent="p", total_area_in2="A_total")
def permitted_fill_in2(fill_percent: float, total_area_in2: float) -> float:
    """Return the permitted share of the raceway's area, in² (Chapter 9 Table 1, Table 4)."""
    return fill_percent / 100 * total_area_in2
