"""Currents for which conductors and overcurrent devices are chosen."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation(
    "I_125", "required current, continuous load at 125 percent", noncontinuous_a="I_non", continuous_factor="k", continuous_a="I_cont"
)
def required_current_a(noncontinuous_a: float, continuous_factor: float, continuous_a: float) -> float:
    """Return noncontinuous plus 125 percent of continuous current, A (210.19, 210.20, 215.2, 215.3, 230.42)."""
    return noncontinuous_a + continuous_factor * continuous_a


@equation("I_125", "required current, 125 percent of the continuous current", continuous_factor="k", continuous_a="I")
def required_continuous_current_a(continuous_factor: float, continuous_a: float) -> float:
    """Return 125 percent of a wholly continuous current, A (690.8(B), 705.28(B), 706.30(B), 625.41)."""
    return continuous_factor * continuous_a


@equation("I", "current", power_va="S", volts_v="E")
def current_of_power_a(power_va: float, volts_v: float) -> float:
    """Return S ÷ E of a single-phase load, A (physics)."""
    return power_va / volts_v


@equation("I_max", "maximum current of the PV source circuit", short_circuit_factor="k", strings_count="n", short_circuit_current_a="I_sc")
def pv_source_circuit_current_a(short_circuit_factor: float, strings_count: float, short_circuit_current_a: float) -> float:
    """Return 1.25 × n × Isc, A (690.8(A))."""
    return short_circuit_factor * strings_count * short_circuit_current_a
