"""Lengths of material to be ordered."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation("L", "length of conductors in a run", conductors_count="n", run_ft="L_run")
def conductors_in_run_ft(conductors_count: float, run_ft: float) -> float:
    """Return the number of conductors times the length of the run, ft (geometry)."""
    return conductors_count * run_ft


@equation("L_order", "length with its allowance", stated_ft="L", allowance_percent="a")
def with_allowance_ft(stated_ft: float, allowance_percent: float) -> float:
    """Return the stated length and so many percent of it more, ft: for ends, bends and waste (common practice, no published source)."""
    return stated_ft * (100 + allowance_percent) / 100
