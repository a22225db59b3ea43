"""How many supports a run of raceway or cable takes."""

from __future__ import annotations

from permitgen.values.equation import equation, larger_of, rounded_up


@equation("L_between", "length between the two end supports", length_ft="L", from_enclosure_ft="a")
def between_end_supports_ft(length_ft: float, from_enclosure_ft: float) -> float:
    """Return what is left of a run with its end supports as far from the enclosures as may be, L − 2a, ft, at least 0 (geometry)."""
    left: float = larger_of(length_ft - 2 * from_enclosure_ft, 0 * length_ft)
    return left


@equation("n", "fewest supports", between_ends_ft="L_between", between_ft="s")
def fewest_supports_count(between_ends_ft: float, between_ft: float) -> float:
    """Return 1 + ⌈L ÷ s⌉: one support, and one more for every span begun, no longer than s (sections .30 of the raceway articles)."""
    number: float = 1 + rounded_up(between_ends_ft / between_ft)
    return number


@equation("a", "distance in feet", distance_in="a")
def distance_ft(distance_in: float) -> float:
    """Return the distance ÷ 12, ft: cable articles state inches from a box (12 in to the foot)."""
    return distance_in / 12
