"""Available fault current: transformer, conductors, and the sources on the premises.

Two ways along conductors: the point-to-point method adds magnitudes and gives the lower or equal current; the impedance method
adds resistance and reactance apart. For the largest current take impedances with cold conductors.
"""

from __future__ import annotations

from permitgen.values.equation import equation, square_root


@equation("I_sc", "fault current at the transformer", apparent_kva="S", volts_v="E", impedance_percent="Z %", tolerance_factor="k")
def transformer_fault_current_a(apparent_kva: float, volts_v: float, impedance_percent: float, tolerance_factor: float) -> float:
    """Return S × 1000 ÷ (E × k × Z ÷ 100), A, with an infinite primary (110.9; k by IEEE C57.12.00)."""
    return apparent_kva * 1000 / (volts_v * tolerance_factor * impedance_percent / 100)


@equation("R_t", "resistance of the transformer", resistance_percent="R %", volts_v="E", apparent_kva="S")
def transformer_ohms_ohm(resistance_percent: float, volts_v: float, apparent_kva: float) -> float:
    """Return p ÷ 100 × E² ÷ (S × 1000), Ω: a percent resistance or reactance referred to the secondary (physics)."""
    return resistance_percent / 100 * volts_v**2 / (apparent_kva * 1000)


@equation("Z_h", "half-winding value", winding_percent="p", half_winding_factor="k")
def half_winding_percent(winding_percent: float, half_winding_factor: float) -> float:
    """Return 1.5 × R % or 1.2 × X % of a center-tapped winding, % on the full rating and the half voltage (common practice)."""
    return half_winding_factor * winding_percent


@equation("Z", "impedance", resistance_ohm="R", reactance_ohm="X")
def impedance_ohm(resistance_ohm: float, reactance_ohm: float) -> float:
    """Return √(R² + X²), Ω (physics)."""
    impedance: float = square_root(resistance_ohm**2 + reactance_ohm**2)
    return impedance


@equation("Z", "impedance", resistance_ohm_per_kft="R", reactance_ohm_per_kft="X")
def conductor_impedance_ohm_per_kft(resistance_ohm_per_kft: float, reactance_ohm_per_kft: float) -> float:
    """Return √(R² + X²), Ω/kft (Chapter 9 Table 9)."""
    impedance: float = square_root(resistance_ohm_per_kft**2 + reactance_ohm_per_kft**2)
    return impedance


@equation("R_L", "resistance or reactance of the run, out and back", length_ft="L", per_length_ohm_per_kft="r", sets_count="n")
def run_ohm(length_ft: float, per_length_ohm_per_kft: float, sets_count: float) -> float:
    """Return 2 × L × r ÷ (1000 × n), Ω: resistance or reactance of n parallel sets (physics)."""
    return 2 * length_ft * per_length_ohm_per_kft / (1000 * sets_count)


@equation("R_s", "resistance of the source", volts_v="E", fault_current_a="I_sc", reactance_to_resistance_factor="X/R")
def source_resistance_ohm(volts_v: float, fault_current_a: float, reactance_to_resistance_factor: float) -> float:
    """Return E ÷ I ÷ √(1 + (X/R)²), Ω: what stands behind a stated fault current (physics)."""
    resistance: float = volts_v / fault_current_a / square_root(1 + reactance_to_resistance_factor**2)
    return resistance


@equation("X_s", "reactance of the source", resistance_ohm="R_s", reactance_to_resistance_factor="X/R")
def source_reactance_ohm(resistance_ohm: float, reactance_to_resistance_factor: float) -> float:
    """Return R × X/R, Ω (physics)."""
    return resistance_ohm * reactance_to_resistance_factor


@equation(
    "I_f",
    "available fault current",
    volts_v="E",
    source_resistance_ohm="R_s",
    run_resistance_ohm="R_L",
    source_reactance_ohm="X_s",
    run_reactance_ohm="X_L",
)
def fault_current_by_impedance_a(
    volts_v: float, source_resistance_ohm: float, run_resistance_ohm: float, source_reactance_ohm: float, run_reactance_ohm: float
) -> float:
    """Return E ÷ √((Rs + RL)² + (Xs + XL)²), A (physics; 110.9, 110.10)."""
    resistance = source_resistance_ohm + run_resistance_ohm
    reactance = source_reactance_ohm + run_reactance_ohm
    current: float = volts_v / square_root(resistance**2 + reactance**2)
    return current


@equation("f", "factor of the run", length_ft="L", fault_current_a="I_sc", impedance_ohm_per_kft="Z", sets_count="n", volts_v="E")
def point_to_point_factor(
    length_ft: float, fault_current_a: float, impedance_ohm_per_kft: float, sets_count: float, volts_v: float
) -> float:
    """Return f = 2 × L × I × Z ÷ (1000 × n × E); 1000 ÷ Z is the constant C of the method (point-to-point method, single-phase)."""
    return 2 * length_ft * fault_current_a * impedance_ohm_per_kft / (1000 * sets_count * volts_v)


@equation("M", "multiplier of the run", run_factor="f")
def point_to_point_multiplier_factor(run_factor: float) -> float:
    """Return M = 1 ÷ (1 + f) (point-to-point method)."""
    return 1 / (1 + run_factor)


@equation("I_f", "available fault current", fault_current_a="I_sc", multiplier_factor="M")
def fault_current_beyond_run_a(fault_current_a: float, multiplier_factor: float) -> float:
    """Return M × I, A (point-to-point method)."""
    return fault_current_a * multiplier_factor


@equation("I_G", "fault current of the generator", apparent_kva="S", volts_v="E", subtransient_percent="X''d")
def generator_fault_current_a(apparent_kva: float, volts_v: float, subtransient_percent: float) -> float:
    """Return S × 1000 ÷ (E × X''d ÷ 100), A (physics)."""
    return apparent_kva * 1000 / (volts_v * subtransient_percent / 100)


@equation("I_inv", "fault contribution of the inverters", sustained_factor="k", rated_current_a="ΣI_r")
def inverter_fault_contribution_a(sustained_factor: float, rated_current_a: float) -> float:
    """Return 1.2 × rated current where no value is marked, A (common practice, no published source)."""
    return sustained_factor * rated_current_a


@equation("R_g", "resistance of the ground-fault loop", length_ft="L", phase_ohm_per_kft="R_p", grounding_ohm_per_kft="R_g1")
def ground_fault_loop_ohm(length_ft: float, phase_ohm_per_kft: float, grounding_ohm_per_kft: float) -> float:
    """Return L × (phase + grounding conductor) ÷ 1000, Ω (250.4(A)(5))."""
    return length_ft * (phase_ohm_per_kft + grounding_ohm_per_kft) / 1000


@equation("Z_s", "impedance of the source", volts_v="E", fault_current_a="I_sc")
def source_impedance_ohm(volts_v: float, fault_current_a: float) -> float:
    """Return E ÷ I, Ω: what stands behind a stated fault current, resistance and reactance together (physics)."""
    return volts_v / fault_current_a


@equation(
    "Z_LN", "impedance from line to neutral", half_winding_factor="k", winding_ohm="Z", line_to_neutral_v="E_LN", line_to_line_v="E_LL"
)
def half_winding_ohm(half_winding_factor: float, winding_ohm: float, line_to_neutral_v: float, line_to_line_v: float) -> float:
    """Return k × Z × (E_LN ÷ E_LL)², Ω: resistance or reactance seen by a fault over half a center-tapped winding (common practice)."""
    return half_winding_factor * winding_ohm * (line_to_neutral_v / line_to_line_v) ** 2


@equation("I_G", "fault current of the generator", rated_a="I_np", subtransient_percent="X''d")
def fault_current_of_reactance_a(rated_a: float, subtransient_percent: float) -> float:
    """Return I ÷ (X''d ÷ 100), A: rated current over subtransient reactance (physics; the same as S ÷ (E × X''d))."""
    return rated_a / (subtransient_percent / 100)


@equation("I_f", "available fault current", fault_current_a="I_f")
def fault_current_ka(fault_current_a: float) -> float:
    """Return I ÷ 1000, kA, the unit of interrupting ratings."""
    return fault_current_a / 1000


@equation("I_most", "largest fault current that agrees with what is stated upstream", more_factor="f", fault_current_a="I_f")
def fault_current_ceiling_ka(more_factor: float, fault_current_a: float) -> float:
    """Return f × I ÷ 1000, kA: what upstream leaves, and the tolerance above it (arithmetic)."""
    return more_factor * fault_current_a / 1000


@equation("m", "fault current as a multiple of the rating", fault_current_a="I_f", rating_a="OCPD")
def multiple_of_rating_factor(fault_current_a: float, rating_a: float) -> float:
    """Return fault current ÷ rating of the device (arithmetic; trip curves are drawn over this multiple)."""
    return fault_current_a / rating_a


@equation("I_gf", "ground-fault current at the end of the circuit", volts_v="E", source_ohm="Z_s", loop_ohm="R_g")
def ground_fault_current_a(volts_v: float, source_ohm: float, loop_ohm: float) -> float:
    """Return E ÷ (Zs + Rg), A: magnitudes added, so never above the true current (250.4(A)(5); common practice)."""
    return volts_v / (source_ohm + loop_ohm)


@equation("IR", "rating in amperes", rating_ka="IR")
def rating_a(rating_ka: float) -> float:
    """Return 1000 × the rating in kA, A."""
    return 1000 * rating_ka
