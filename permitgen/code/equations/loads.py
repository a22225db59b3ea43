"""Load calculations: standard and optional methods, existing and measured loads."""

from __future__ import annotations

from permitgen.values.equation import equation, larger_of, smaller_of


@equation("S_light", "general lighting load", density_va_per_ft2="d", floor_area_ft2="A")
def general_lighting_va(density_va_per_ft2: float, floor_area_ft2: float) -> float:
    """Return 3 VA/ft² × floor area, VA (220.14(J), 220.41 in 2023)."""
    return density_va_per_ft2 * floor_area_ft2


@equation("S_circ", "load of the circuits", circuits_count="n", circuit_va="S_1")
def circuits_load_va(circuits_count: float, circuit_va: float) -> float:
    """Return 1500 VA × circuits, VA (220.52)."""
    return circuits_count * circuit_va


@equation(
    "S_dem",
    "lighting demand",
    load_va="S",
    first_tier_va="t_1",
    second_tier_va="t_2",
    first_factor="k_1",
    second_factor="k_2",
    third_factor="k_3",
)
def lighting_demand_va(  # one argument a number of the table
    load_va: float, first_tier_va: float, second_tier_va: float, first_factor: float, second_factor: float, third_factor: float
) -> float:
    """Return the load to the first tier, between the tiers and above them, each at its factor, VA (Table 220.42, 220.45 in 2023)."""
    first: float = first_factor * smaller_of(load_va, first_tier_va)
    second: float = second_factor * larger_of(0, smaller_of(load_va, second_tier_va) - first_tier_va)
    third: float = third_factor * larger_of(0, load_va - second_tier_va)
    return first + second + third


@equation("S_dem", "demand of the general loads", load_va="S", first_tier_va="t_1", remainder_factor="k")
def two_tier_demand_va(load_va: float, first_tier_va: float, remainder_factor: float) -> float:
    """Return the first tier whole and the rest at its factor, VA (220.82(B), 220.83, 220.44)."""
    demand: float = smaller_of(load_va, first_tier_va) + remainder_factor * larger_of(0, load_va - first_tier_va)
    return demand


@equation("S_dem", "demand", demand_factor="k", load_va="S")
def demand_at_factor_va(demand_factor: float, load_va: float) -> float:
    """Return load × demand factor, VA (220.51, 220.53, 220.54, 220.61, 220.82(C))."""
    return demand_factor * load_va


@equation("S_dem", "demand of identical dwelling units", units_count="n", demand_factor="k", load_va="S_unit")
def identical_units_demand_va(units_count: float, demand_factor: float, load_va: float) -> float:
    """Return units × connected load of one × demand factor, VA (220.84, 220.85)."""
    return units_count * demand_factor * load_va


@equation("S", "load, not less than the smallest the code counts", nameplate_va="S_np", smallest_va="S_min")
def load_at_least_va(nameplate_va: float, smallest_va: float) -> float:
    """Return the larger of nameplate and the smallest load to be counted, VA (dryers 220.54, EV supply 220.57)."""
    load: float = larger_of(nameplate_va, smallest_va)
    return load


@equation("S_range", "demand of the range", table_kw="S_C", step_percent="p", steps_count="n")
def large_range_demand_kw(table_kw: float, step_percent: float, steps_count: float) -> float:
    """Return column C raised 5 % for each kW above 12, kW (Table 220.55, Note 1)."""
    return table_kw * (1 + step_percent / 100 * steps_count)


@equation("S_hp", "demand of heat pump and supplemental heat", compressor_va="S_c", supplemental_factor="k", supplemental_va="S_h")
def heat_pump_demand_va(compressor_va: float, supplemental_factor: float, supplemental_va: float) -> float:
    """Return compressor at 100 % and supplemental heat at 65 %, VA (220.82(C)(3))."""
    return compressor_va + supplemental_factor * supplemental_va


@equation("S_rc", "power", current_a="I", volts_v="E", units_count="n")
def units_power_va(current_a: float, volts_v: float, units_count: float) -> float:
    """Return I × E of equal units together, VA (physics)."""
    return current_a * volts_v * units_count


@equation("I", "current", power_kw="P", volts_v="E")
def current_of_kilowatts_a(power_kw: float, volts_v: float) -> float:
    """Return P × 1000 ÷ E, single-phase at unity power factor, A (physics)."""
    return power_kw * 1000 / volts_v


@equation("I_calc", "measured peak at 125 percent and new load", peak_factor="k", peak_a="I_peak", new_load_a="I_new")
def measured_load_a(peak_factor: float, peak_a: float, new_load_a: float) -> float:
    """Return 1.25 × measured maximum demand + new load, A (220.87)."""
    return peak_factor * peak_a + new_load_a


@equation("I_N", "neutral load", general_va="S_g", reduced_factor="k", reduced_va="S_r", lines_v="E_LL", leg_va="S_leg", leg_v="E_LN")
def neutral_load_a(general_va: float, reduced_factor: float, reduced_va: float, lines_v: float, leg_va: float, leg_v: float) -> float:
    """Return what both legs share (general demand, 70 % of range and dryer) and the loads of the heavier leg alone, A (220.61)."""
    return (general_va + reduced_factor * reduced_va) / lines_v + leg_va / leg_v


@equation("I_m", "addition for the largest motor", added_factor="k", motor_a="I_m1")
def largest_motor_addition_a(added_factor: float, motor_a: float) -> float:
    """Return 25 % of the largest motor, A (220.50, 430.24)."""
    return added_factor * motor_a


@equation("S", "power", current_a="I", volts_v="E")
def power_of_current_va(current_a: float, volts_v: float) -> float:
    """Return I × E of one load, VA (physics)."""
    return current_a * volts_v


@equation("S", "power", power_kw="P")
def kilowatts_va(power_kw: float) -> float:
    """Return 1000 × P, VA: load calculations take kilowatts of household cooking appliances as kilovolt-amperes (220.55)."""
    return 1000 * power_kw


@equation("S_dem", "demand", demand_percent="p", load_va="S")
def demand_in_percent_va(demand_percent: float, load_va: float) -> float:
    """Return p ÷ 100 × load, VA (Table 220.55, columns A and B)."""
    return demand_percent / 100 * load_va
