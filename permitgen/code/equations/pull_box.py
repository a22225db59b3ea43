"""Pull and junction boxes for conductors of 4 AWG and larger."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation("L", "length of the box", raceway_factor="k", largest_raceway_in="d_1")
def straight_pull_in(raceway_factor: float, largest_raceway_in: float) -> float:
    """Return 8 × the trade size of the largest raceway, in (314.28(A)(1))."""
    return raceway_factor * largest_raceway_in


@equation("L", "distance to the opposite wall", raceway_factor="k", largest_raceway_in="d_1", other_raceways_in="Σd")
def angle_pull_in(raceway_factor: float, largest_raceway_in: float, other_raceways_in: float) -> float:
    """Return 6 × the largest raceway + the others in the same row, in (314.28(A)(2))."""
    return raceway_factor * largest_raceway_in + other_raceways_in


@equation("s", "distance between entries of one conductor", entry_spacing_factor="k", raceway_in="d")
def entry_spacing_in(entry_spacing_factor: float, raceway_in: float) -> float:
    """Return 6 × the trade size of the larger raceway of the conductor, in (314.28(A)(2))."""
    return entry_spacing_factor * raceway_in
