"""Sums on a busbar fed by several sources."""

from __future__ import annotations

from permitgen.values.equation import equation


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
