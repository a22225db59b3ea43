"""What a measurement in the field should give."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation(
    "V_exp",
    "open-circuit voltage of the string at the measured cell temperature",
    modules_count="n",
    open_circuit_v="V_oc",
    coefficient_percent_per_c="β",
    cell_c="T_c",
    reference_c="T_STC",
)
def expected_string_voltage_v(
    modules_count: float, open_circuit_v: float, coefficient_percent_per_c: float, cell_c: float, reference_c: float
) -> float:
    """Return n × Voc × (1 + β ÷ 100 × (Tc − 25)), V; β negative, in percent per °C (IEC 62446-1)."""
    return modules_count * open_circuit_v * (1 + coefficient_percent_per_c / 100 * (cell_c - reference_c))


@equation(
    "I_exp", "short-circuit current of the string at the measured irradiance", short_circuit_current_a="I_sc", irradiance_factor="G_1000"
)
def expected_string_current_a(short_circuit_current_a: float, irradiance_factor: float) -> float:
    """Return Isc × G ÷ 1000, A; the small temperature coefficient of the current is left out (IEC 62446-1)."""
    return short_circuit_current_a * irradiance_factor


@equation("V_sys", "system voltage for the insulation test", open_circuit_v="V_oc", modules_count="n", margin_factor="k")
def insulation_system_voltage_v(open_circuit_v: float, modules_count: float, margin_factor: float) -> float:
    """Return n × Voc × 1.25, V (IEC 62446-1, insulation resistance of dc circuits)."""
    return open_circuit_v * modules_count * margin_factor


@equation("lower", "lower limit", nominal_v="E", tolerance_percent="t")
def lower_voltage_v(nominal_v: float, tolerance_percent: float) -> float:
    """Return E × (1 − t ÷ 100), V (ANSI C84.1, range A)."""
    return nominal_v * (1 - tolerance_percent / 100)


@equation("upper", "upper limit", nominal_v="E", tolerance_percent="t")
def upper_voltage_v(nominal_v: float, tolerance_percent: float) -> float:
    """Return E × (1 + t ÷ 100), V (ANSI C84.1, range A)."""
    return nominal_v * (1 + tolerance_percent / 100)
