"""Generators: nameplate current, conductors, derating."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation("I_np", "nameplate current", rated_kw="P", volts_v="E")
def generator_current_a(rated_kw: float, volts_v: float) -> float:
    """Return P × 1000 ÷ E of a single-phase generator at unity power factor, A (physics)."""
    return rated_kw * 1000 / volts_v


@equation("P", "power", current_a="I", volts_v="E", power_factor="cos φ")
def three_phase_power_kw(current_a: float, volts_v: float, power_factor: float) -> float:
    """Return √3 × I × E × cos φ ÷ 1000, kW (physics)."""
    return 3**0.5 * current_a * volts_v * power_factor / 1000


@equation("I_G", "ampacity of the generator conductors", nameplate_factor="k", nameplate_a="I_np")
def generator_conductor_a(nameplate_factor: float, nameplate_a: float) -> float:
    """Return 1.15 (or 1.0 where overload is prevented) × nameplate current, A (445.13(A))."""
    return nameplate_factor * nameplate_a


@equation("P_alt", "rating at the altitude", rated_kw="P", loss_percent="p", altitude_ft="h", step_kft="h_0")
def altitude_derated_kw(rated_kw: float, loss_percent: float, altitude_ft: float, step_kft: float) -> float:
    """Return P × (1 − p ÷ 100 × h ÷ step), kW; h in ft, step in 1000 ft (common practice, no published source)."""
    return rated_kw * (1 - loss_percent / 100 * altitude_ft / 1000 / step_kft)
