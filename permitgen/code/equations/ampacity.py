"""Ampacity: correction for ambient temperature, adjustment for count, the rooftop adder, the dwelling rule."""

from __future__ import annotations

from permitgen.values.equation import equation, square_root


@equation(
    "A_corr", "ampacity after correction and adjustment", table_ampacity_a="A_table", correction_factor="F_t", adjustment_factor="F_n"
)
def corrected_ampacity_a(table_ampacity_a: float, correction_factor: float, adjustment_factor: float) -> float:
    """Return table ampacity × ambient correction × adjustment for count, A (310.15(B), (C))."""
    return table_ampacity_a * correction_factor * adjustment_factor


@equation("A_set", "ampacity of the parallel sets together", sets_count="n", ampacity_a="A")
def parallel_ampacity_a(sets_count: float, ampacity_a: float) -> float:
    """Return the ampacity of equal conductors in parallel, A (310.10(G))."""
    return sets_count * ampacity_a


@equation("T_roof", "ambient temperature on the roof", ambient_c="T_a", added_rise_c="ΔT")
def rooftop_ambient_c(ambient_c: float, added_rise_c: float) -> float:
    """Return the ambient with the rooftop adder, °C (310.15(B)(2))."""
    return ambient_c + added_rise_c


@equation("F_t", "ambient correction factor by the equation", conductor_c="T_c", ambient_c="T_a", base_ambient_c="T_0")
def ambient_correction_factor(conductor_c: float, ambient_c: float, base_ambient_c: float) -> float:
    """Return √((Tc − Ta) ÷ (Tc − T0)) (310.15(B), the equation permitted in place of the table)."""
    factor: float = square_root((conductor_c - ambient_c) / (conductor_c - base_ambient_c))
    return factor


@equation("A_83", "smallest ampacity for the whole dwelling load", rating_factor="k", rating_a="R")
def dwelling_ampacity_a(rating_factor: float, rating_a: float) -> float:
    """Return 0.83 × the rating of the service or feeder overcurrent device, A (310.12)."""
    return rating_factor * rating_a


@equation("L_10", "longest part of lower ampacity", share_factor="k", other_part_ft="L")
def longest_lower_ampacity_part_ft(share_factor: float, other_part_ft: float) -> float:
    """Return 10 % of the length of the part of higher ampacity, ft (310.14(A)(2) exception; 310.15(A)(2) in 2017)."""
    return share_factor * other_part_ft
