"""How many supports a run takes, counted by hand on the drawing of a straight run between two enclosures.

Distances are those of 358.30 (3 ft, 10 ft) and 352.30 (3 ft, 3 ft for 1 in), from memory.
"""

from __future__ import annotations

import pytest

from permitgen.code.equations.raceway_supports import between_end_supports_ft, distance_ft, fewest_supports_count


def fewest(length_ft: float, near_ft: float, between_ft: float) -> float:
    return fewest_supports_count(between_end_supports_ft(length_ft, near_ft), between_ft)


@pytest.mark.parametrize(
    ("length", "near", "between", "count", "where"),
    [
        (4, 3, 10, 1, "one in the middle is within 3 ft of both boxes"),
        (6, 3, 10, 1, "one, 3 ft from either"),
        (6.1, 3, 10, 2, "one at each end"),
        (16, 3, 10, 2, "at 3 and 13 ft"),
        (16.1, 3, 10, 3, "at 3, 13 and 13.1 ft"),
        (26, 3, 10, 3, "at 3, 13 and 23 ft"),
        (46, 3, 10, 5, "at 3, 13, 23, 33 and 43 ft"),
        (28, 3, 3, 9, "PVC: 22 ft between the end ones are 8 spans"),
        (34, 1, 6, 7, "tray cable: 32 ft are 6 spans"),
    ],
)
def test_fewest_supports_as_counted_by_hand(length, near, between, count, where):
    assert fewest(length, near, between) == count, where


def test_last_bits_of_floating_point_add_no_support():
    """0.3 + 0.6 is 0.8999999999999999 in floating point, 0.1 × 3 is 0.30000000000000004: three spans either way."""
    assert fewest_supports_count(0.1 * 3 + 0.6, 0.3) == 4


def test_twelve_inches_are_a_foot():
    assert distance_ft(12) == 1
