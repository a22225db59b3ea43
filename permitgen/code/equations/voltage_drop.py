"""Voltage drop and rise, and the resistance behind them."""

from __future__ import annotations

from permitgen.values.equation import equation, square_root


@equation("V_d", "voltage drop", length_ft="L", current_a="I", resistance_ohm_per_kft="R")
def two_wire_voltage_drop_v(length_ft: float, current_a: float, resistance_ohm_per_kft: float) -> float:
    """Return 2 × L × I × R ÷ 1000, V: out and back, L one way (210.19 note; Chapter 9 Table 8 or 9)."""
    return 2 * length_ft * current_a * resistance_ohm_per_kft / 1000


@equation("V_d", "voltage drop", length_ft="L", current_a="I", impedance_ohm_per_kft="Z_e")
def single_phase_voltage_drop_v(length_ft: float, current_a: float, impedance_ohm_per_kft: float) -> float:
    """Return 2 × L × I × Ze ÷ 1000, V (210.19 note; Chapter 9 Table 9, Note 2)."""
    return 2 * length_ft * current_a * impedance_ohm_per_kft / 1000


@equation("V_d", "voltage drop", length_ft="L", current_a="I", impedance_ohm_per_kft="Z_e")
def line_to_neutral_voltage_drop_v(length_ft: float, current_a: float, impedance_ohm_per_kft: float) -> float:
    """Return L × I × Ze ÷ 1000 of one conductor, V (Chapter 9 Table 9, Note 2)."""
    return length_ft * current_a * impedance_ohm_per_kft / 1000


@equation("V_d", "voltage drop", length_ft="L", current_a="I", impedance_ohm_per_kft="Z_e")
def three_phase_voltage_drop_v(length_ft: float, current_a: float, impedance_ohm_per_kft: float) -> float:
    """Return √3 × L × I × Ze ÷ 1000 between lines, V (Chapter 9 Table 9, Note 2)."""
    return 3**0.5 * length_ft * current_a * impedance_ohm_per_kft / 1000


@equation("sin φ", "reactive factor", power_factor="cos φ")
def reactive_factor(power_factor: float) -> float:
    """Return √(1 − cos² φ) (physics)."""
    factor: float = square_root(1 - power_factor**2)
    return factor


@equation(
    "Z_e",
    "effective impedance",
    resistance_ohm_per_kft="R",
    power_factor="cos φ",
    reactance_ohm_per_kft="X",
    reactive_factor="sin φ",
)
def effective_impedance_ohm_per_kft(
    resistance_ohm_per_kft: float, power_factor: float, reactance_ohm_per_kft: float, reactive_factor: float
) -> float:
    """Return R cos φ + X sin φ, Ω/kft (Chapter 9 Table 9, Note 2)."""
    return resistance_ohm_per_kft * power_factor + reactance_ohm_per_kft * reactive_factor


@equation("ΔV %", "voltage drop in percent", drop_v="V_d", nominal_v="E")
def voltage_drop_percent(drop_v: float, nominal_v: float) -> float:
    """Return 100 × drop ÷ nominal voltage, % (210.19 and 215.2 notes)."""
    return 100 * drop_v / nominal_v


@equation("V_r", "voltage rise along the trunk", resistance_ohm_per_kft="R", spacing_ft="s", unit_current_a="I_unit", units_count="n")
def trunk_voltage_rise_v(resistance_ohm_per_kft: float, spacing_ft: float, unit_current_a: float, units_count: float) -> float:
    """Return 2 × R × s × I × n (n + 1) ÷ 2 ÷ 1000, V: equal units, equal spacing, out and back (physics, unity power factor)."""
    return 2 * resistance_ohm_per_kft * spacing_ft * unit_current_a * units_count * (units_count + 1) / 2 / 1000


@equation(
    "R_T",
    "resistance at the conductor temperature",
    resistance_ohm_per_kft="R_0",
    coefficient_percent_per_c="α",
    conductor_c="T",
    base_c="T_0",
)
def resistance_at_temperature_ohm_per_kft(
    resistance_ohm_per_kft: float, coefficient_percent_per_c: float, conductor_c: float, base_c: float
) -> float:
    """Return R × (1 + α ÷ 100 × (T − T0)), Ω/kft; α 0.323 %/°C copper, 0.330 %/°C aluminum (Chapter 9 Table 8, Note 2)."""
    return resistance_ohm_per_kft * (1 + coefficient_percent_per_c / 100 * (conductor_c - base_c))


@equation("R_set", "resistance of parallel sets", resistance_ohm_per_kft="R", sets_count="n")
def parallel_resistance_ohm_per_kft(resistance_ohm_per_kft: float, sets_count: float) -> float:
    """Return the resistance of equal conductors in parallel, Ω/kft (physics)."""
    return resistance_ohm_per_kft / sets_count


@equation("R_loop", "resistance of the loop", length_ft="L", resistance_ohm_per_kft="R")
def loop_resistance_ohm(length_ft: float, resistance_ohm_per_kft: float) -> float:
    """Return 2 × L × R ÷ 1000, Ω: out and back (physics)."""
    return 2 * length_ft * resistance_ohm_per_kft / 1000


@equation("V_d", "voltage drop of the control loop", current_a="I", resistance_ohm="R_loop")
def loop_voltage_drop_v(current_a: float, resistance_ohm: float) -> float:
    """Return I × R of a control loop, V (physics)."""
    return current_a * resistance_ohm


@equation("E_left", "voltage left at the device", volts_v="E", drop_v="V_d")
def voltage_left_v(volts_v: float, drop_v: float) -> float:
    """Return E − V_d, V (physics)."""
    return volts_v - drop_v
