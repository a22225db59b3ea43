"""Volume that conductors, devices and grounding conductors take in a box."""

from __future__ import annotations

from permitgen.values.equation import equation, larger_of


@equation("V", "volume of equal allowances", allowance_count="n", allowance_in3="v")
def allowance_volume_in3(allowance_count: float, allowance_in3: float) -> float:
    """Return number of allowances × volume of one, in³ (314.16(B))."""
    return allowance_count * allowance_in3


@equation(
    "n_EGC",
    "allowances of the grounding conductors",
    grounding_count="n_1",
    conductors_count="n",
    included_count="n_0",
    further_factor="k",
)
def grounding_allowance_count(grounding_count: float, conductors_count: float, included_count: float, further_factor: float) -> float:
    """Return one allowance for the first four and a quarter for each further grounding conductor (314.16(B)(5), from 2020)."""
    allowances: float = grounding_count + further_factor * larger_of(0, conductors_count - included_count)
    return allowances


@equation("n", "allowances of one size", conductors_count="n_c", devices_count="n_d", per_device_count="k_d", clamps_count="n_k")
def box_allowance_count(conductors_count: float, devices_count: float, per_device_count: float, clamps_count: float) -> float:
    """Return conductors + two for each device + one for clamps (314.16(B)(1), (2), (4))."""
    return conductors_count + devices_count * per_device_count + clamps_count


@equation("n", "conductors of one size that fit", box_in3="V", allowance_in3="v")
def conductors_in_box_count(box_in3: float, allowance_in3: float) -> float:
    """Return volume ÷ allowance, a number to be rounded down (314.16)."""
    return box_in3 / allowance_in3
