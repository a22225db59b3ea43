"""Services: the sum of supply-side sources and what the measured demand leaves free."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation("I_free", "ampacity left for new load", ampacity_a="A", calculated_load_a="I_calc")
def capacity_left_a(ampacity_a: float, calculated_load_a: float) -> float:
    """Return ampacity less calculated load, A (220.87(3); arithmetic)."""
    return ampacity_a - calculated_load_a
