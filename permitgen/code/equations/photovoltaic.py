"""Photovoltaic circuits: voltages in the cold, currents, back-feed."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation(
    "V_oc,cold",
    "open-circuit voltage of the module at the lowest ambient",
    open_circuit_v="V_oc",
    coefficient_percent_per_c="β",
    lowest_c="T_min",
    reference_c="T_STC",
)
def cold_module_voltage_v(open_circuit_v: float, coefficient_percent_per_c: float, lowest_c: float, reference_c: float) -> float:
    """Return Voc × (1 + β ÷ 100 × (Tmin − 25)), V; β negative, in percent per °C (690.7(A)(1))."""
    return open_circuit_v * (1 + coefficient_percent_per_c / 100 * (lowest_c - reference_c))


@equation(
    "V_oc,cold",
    "open-circuit voltage of the module at the lowest ambient",
    open_circuit_v="V_oc",
    coefficient_v_per_c="β_V",
    lowest_c="T_min",
    reference_c="T_STC",
)
def cold_module_voltage_by_volts_v(open_circuit_v: float, coefficient_v_per_c: float, lowest_c: float, reference_c: float) -> float:
    """Return Voc + β_V × (Tmin − 25), V; β_V negative, in volts per °C (690.7(A)(1))."""
    return open_circuit_v + coefficient_v_per_c * (lowest_c - reference_c)


@equation("V_oc,cold", "open-circuit voltage of the module at the lowest ambient", open_circuit_v="V_oc", voltage_factor="F_V")
def cold_module_voltage_by_table_v(open_circuit_v: float, voltage_factor: float) -> float:
    """Return Voc × the factor of the table for crystalline silicon, V (690.7(A)(2), Table 690.7(A))."""
    return open_circuit_v * voltage_factor


@equation("V_max", "maximum voltage of the string", modules_count="N", module_v="V_module")
def string_voltage_v(modules_count: float, module_v: float) -> float:
    """Return the voltage of equal modules, converters or residual voltages in series, V (690.7; 690.12)."""
    return modules_count * module_v


@equation("N", "modules that fit", limit_v="V_limit", module_v="V_module")
def modules_in_series_count(limit_v: float, module_v: float) -> float:
    """Return limit ÷ module voltage, a number to be rounded down (690.7)."""
    return limit_v / module_v


@equation(
    "I_back",
    "current from the other sources",
    strings_count="N",
    irradiance_factor="k",
    short_circuit_current_a="I_sc",
    inverter_backfeed_a="I_inv",
)
def backfeed_current_a(strings_count: float, irradiance_factor: float, short_circuit_current_a: float, inverter_backfeed_a: float) -> float:
    """Return (N − 1) × 1.25 × Isc + back-feed of the inverter, A: what a faulted string receives (690.9(A))."""
    return (strings_count - 1) * irradiance_factor * short_circuit_current_a + inverter_backfeed_a


@equation("I_p", "current of a string conductor", overcurrent_device_a="I_OCPD", irradiance_factor="k", others_current_a="ΣI_sc")
def parallel_string_conductor_a(overcurrent_device_a: float, irradiance_factor: float, others_current_a: float) -> float:
    """Return device + 1.25 × the short-circuit current of the other strings on it, A (690.8(D))."""
    return overcurrent_device_a + irradiance_factor * others_current_a


@equation("k", "factor on the short-circuit current", irradiance_factor="k_1", continuous_factor="k_2")
def short_circuit_multiplier_factor(irradiance_factor: float, continuous_factor: float) -> float:
    """Return 1.25 × 1.25 = 1.5625, never rounded to 1.56 (690.8(A) and (B))."""
    return irradiance_factor * continuous_factor


@equation("P_dc", "dc power of the array", modules_count="n", module_w="P_mod")
def array_power_w(modules_count: float, module_w: float) -> float:
    """Return modules × rated power of one, W, at the conditions the rating is stated for (common practice, no published source)."""
    return modules_count * module_w


@equation("I", "current of strings in parallel", strings_count="n", string_current_a="I_str")
def strings_current_a(strings_count: float, string_current_a: float) -> float:
    """Return the current of equal strings in parallel, A: their sum (Kirchhoff's current law)."""
    return strings_count * string_current_a
