"""Sums on a busbar fed by several sources."""

from __future__ import annotations

from permitgen.values.equation import equation, rounded_up


@equation("S_125", "125 percent of the source output currents", source_factor="k", sources_a="S")
def sources_at_125_percent_a(source_factor: float, sources_a: float) -> float:
    """Return 1.25 × the sum of source output currents, A (705.12)."""
    return source_factor * sources_a


@equation("P + 1.25 S", "protecting device plus 125 percent of the sources", protecting_a="P", source_factor="k", sources_a="S")
def supply_and_sources_a(protecting_a: float, source_factor: float, sources_a: float) -> float:
    """Return the rating of the device that protects the busbar plus 1.25 × source output currents, A (705.12)."""
    return protecting_a + source_factor * sources_a


@equation("limit", "permitted current of the busbar", busbar_factor="k_b", rating_a="B")
def busbar_limit_a(busbar_factor: float, rating_a: float) -> float:
    """Return the share of the busbar's rating that the sum may reach, A (705.12)."""
    return busbar_factor * rating_a


@equation(
    "I_out,max",
    "largest output current of the sources",
    busbar_factor="k_B",
    busbar_a="B",
    primary_device_a="P",
    source_factor="k_S",
)
def largest_source_output_a(busbar_factor: float, busbar_a: float, primary_device_a: float, source_factor: float) -> float:
    """Return the output current that just meets the limit of the busbar, A (705.12, solved for the source)."""
    return (busbar_factor * busbar_a - primary_device_a) / source_factor


@equation("I_f", "current of the feeder beyond the connection", feeder_device_a="P", counted_source_a="S_125")
def feeder_beyond_connection_a(feeder_device_a: float, counted_source_a: float) -> float:
    """Return the feeder's device and 125 % of the source, A: ampacity beyond a connection along a feeder (705.12, feeders)."""
    return feeder_device_a + counted_source_a


@equation("ΣOCPD_min", "least sum of all breakers", shown_a="ΣOCPD", poles_count="n_p", smallest_a="OCPD_min")
def least_sum_of_breakers_a(shown_a: float, poles_count: float, smallest_a: float) -> float:
    """Return shown + rounded up(poles ÷ 2) × smallest, A: a two-pole breaker counts once, so no fewer breakers use that many poles."""
    breakers: float = rounded_up(poles_count / 2)
    return shown_a + breakers * smallest_a
