"""Output current of a branch circuit of microinverters."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation("I_branch", "output current of the branch circuit", units_count="n", unit_output_a="I_unit")
def branch_output_a(units_count: float, unit_output_a: float) -> float:
    """Return the sum of equal unit output currents, A (plain arithmetic)."""
    return units_count * unit_output_a
