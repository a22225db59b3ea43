"""Thermal expansion of raceways."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation(
    "ΔL",
    "change of length",
    growth_in="g",
    length_ft="L",
    reference_length_ft="L_0",
    swing_f="ΔT",
    reference_swing_f="ΔT_0",
)
def raceway_growth_in(growth_in: float, length_ft: float, reference_length_ft: float, swing_f: float, reference_swing_f: float) -> float:
    """Return 4.06 in for each 100 ft and 100 °F of rigid PVC, in (352.44, Table 352.44(A))."""
    return growth_in * length_ft / reference_length_ft * swing_f / reference_swing_f


@equation("ΔT", "swing of temperature", hottest_c="T_max", coldest_c="T_min")
def temperature_swing_f(hottest_c: float, coldest_c: float) -> float:
    """Return the difference of two temperatures in °C as a difference in °F: × 9 ÷ 5 (physics)."""
    return (hottest_c - coldest_c) * 9 / 5


@equation("ΔT", "swing of temperature in the sun", swing_f="ΔT_air", added_f="ΔT_sun")
def sunlit_swing_f(swing_f: float, added_f: float) -> float:
    """Return the swing of the air and what sun adds to it, °F (common practice)."""
    return swing_f + added_f
