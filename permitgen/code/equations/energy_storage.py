"""Energy storage: direct current at the lowest voltage, the governing direction, energy."""

from __future__ import annotations

from permitgen.values.equation import equation, larger_of


@equation("I_dc", "input current of the inverter", rated_power_w="P", lowest_input_v="V_min", efficiency_factor="η")
def inverter_input_current_a(rated_power_w: float, lowest_input_v: float, efficiency_factor: float) -> float:
    """Return P ÷ (Vmin × η), A (706.30(A); 706.20(A) in 2017)."""
    return rated_power_w / (lowest_input_v * efficiency_factor)


@equation("I_ESS", "governing current of the storage system", charge_a="I_chg", discharge_a="I_dis")
def governing_storage_current_a(charge_a: float, discharge_a: float) -> float:
    """Return the larger of charging and discharging current, A: they never flow together (706.30(A))."""
    current: float = larger_of(charge_a, discharge_a)
    return current


@equation("E", "rated energy", units_count="n", unit_kwh="E_unit")
def rated_energy_kwh(units_count: float, unit_kwh: float) -> float:
    """Return the rated energy of equal units, kWh (IRC R328.5; NFPA 855)."""
    return units_count * unit_kwh


@equation("I_PV,max", "PV that the storage can absorb while islanded", ratio_factor="r", storage_a="ΣI_ESS")
def absorbable_pv_a(ratio_factor: float, storage_a: float) -> float:
    """Return r × output current of the battery inverters, A; r by the manufacturer's instructions (110.3(B))."""
    return ratio_factor * storage_a


@equation("f_0", "frequency at which PV gives nothing", nominal_hz="f_n", dead_band_hz="db", droop_percent="k")
def zero_output_hz(nominal_hz: float, dead_band_hz: float, droop_percent: float) -> float:
    """Return f_n + db + k ÷ 100 × f_n, Hz: PV output falls in a straight line above the dead band (IEEE 1547-2018, frequency droop)."""
    return nominal_hz + dead_band_hz + droop_percent / 100 * nominal_hz


@equation("P_b", "power of a battery", discharge_a="I_b", nominal_v="V_nom")
def battery_power_w(discharge_a: float, nominal_v: float) -> float:
    """Return the dc power that a battery gives for hours, W (physics)."""
    return discharge_a * nominal_v


@equation("I_b", "ac current that batteries sustain", battery_w="P_b", efficiency_factor="η", volts_v="E")
def sustained_by_batteries_a(battery_w: float, efficiency_factor: float, volts_v: float) -> float:
    """Return what an inverter makes of the power of its batteries on its ac side, A (physics)."""
    return battery_w * efficiency_factor / volts_v


@equation("t", "hours of backup", energy_kwh="E", charge_factor="c", efficiency_factor="η", power_kw="P")
def hours_of_backup_h(energy_kwh: float, charge_factor: float, efficiency_factor: float, power_kw: float) -> float:
    """Return E × c × η ÷ P, h: what is stored of the rated energy, less losses, at a constant load (physics)."""
    return energy_kwh * charge_factor * efficiency_factor / power_kw


@equation("P", "load", load_va="S")
def load_kw(load_va: float) -> float:
    """Return S ÷ 1000, kW: the whole apparent power taken as real power, which gives the shorter time (physics)."""
    return load_va / 1000


@equation("c", "charge kept for outages", kept_percent="c_%")
def charge_factor(kept_percent: float) -> float:
    """Return a percentage as a factor (arithmetic)."""
    return kept_percent / 100


@equation("η_%", "part of the energy that reaches the loads", efficiency_factor="η")
def in_percent(efficiency_factor: float) -> float:
    """Return a factor as a percentage (arithmetic)."""
    return efficiency_factor * 100
