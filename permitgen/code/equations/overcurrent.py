"""Overcurrent protection: transformers, series ratings, units on a branch circuit."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation("I_r", "rated current", apparent_kva="S", volts_v="E")
def single_phase_rated_current_a(apparent_kva: float, volts_v: float) -> float:
    """Return S × 1000 ÷ E of a single-phase winding, A (physics)."""
    return apparent_kva * 1000 / volts_v


@equation("I_r", "rated current", apparent_kva="S", volts_v="E")
def three_phase_rated_current_a(apparent_kva: float, volts_v: float) -> float:
    """Return S × 1000 ÷ (√3 × E) of a three-phase winding, A (physics)."""
    return apparent_kva * 1000 / (3**0.5 * volts_v)


@equation("I_max", "largest overcurrent device before the next standard rating", rated_current_factor="k", rated_current_a="I_r")
def transformer_overcurrent_limit_a(rated_current_factor: float, rated_current_a: float) -> float:
    """Return 1.25 (or another factor) × the rated current of the winding, A (Table 450.3(B); 450.4(A))."""
    return rated_current_factor * rated_current_a


@equation("I_m", "largest sum of motor currents", motor_contribution_percent="p", interrupting_rating_a="IR")
def series_rating_motor_limit_a(motor_contribution_percent: float, interrupting_rating_a: float) -> float:
    """Return 1 % of the interrupting rating of the lower breaker, A (240.86(C))."""
    return motor_contribution_percent / 100 * interrupting_rating_a


@equation("n", "units that fit", overcurrent_device_a="I_OCPD", continuous_factor="k", unit_output_a="I_unit")
def units_on_branch_count(overcurrent_device_a: float, continuous_factor: float, unit_output_a: float) -> float:
    """Return rating ÷ (1.25 × output current of one unit), a number to be rounded down (690.8(B), 705.28(B))."""
    return overcurrent_device_a / (continuous_factor * unit_output_a)
