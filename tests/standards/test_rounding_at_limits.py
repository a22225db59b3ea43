"""Rounding and the choice of standard sizes just at, just below and just above a printed number, and what floating point leaves of one."""

from __future__ import annotations

import pytest

from permitgen.code.rounding import amperes_of_load, count_by_note_7, kilowatts_over, whole_count, whole_degrees_up
from permitgen.code.standard_sizes import (
    largest_standard_rating_a,
    next_standard_rating_a,
    smallest_size_of_ampacity,
    smallest_size_of_area,
)

# What a product or a quotient may be off by in floating point.
UP, DOWN = 1 + 4e-13, 1 - 4e-13


@pytest.mark.parametrize(("number", "count"), [(7, 7), (7 * DOWN, 7), (7.79, 7), (7.8, 8), (7.8 * DOWN, 8), (7.81, 8), (0.8, 1), (0.79, 0)])
def test_a_decimal_of_eight_tenths_or_larger_gives_the_next_conductor(number, count):
    """Chapter 9, Note 7."""
    assert count_by_note_7(number) == count


@pytest.mark.parametrize(("number", "count"), [(7, 7), (7 * DOWN, 7), (6.999, 6), (7.999, 7)])
def test_what_must_fit_whole_is_rounded_down(number, count):
    assert whole_count(number) == count


@pytest.mark.parametrize(("number", "amperes"), [(77.49, 77), (77.5, 78), (77.5 * DOWN, 78), (77, 77)])
def test_a_fraction_of_an_ampere_below_one_half_is_dropped(number, amperes):
    """220.5(B)."""
    assert amperes_of_load(number) == amperes


@pytest.mark.parametrize(("number", "degrees"), [(35, 35), (35 * UP, 35), (35.01, 36), (34.2, 35)])
def test_a_temperature_between_bands_takes_the_hotter_one(number, degrees):
    """Tables of correction factors: a band ends at its last whole degree."""
    assert whole_degrees_up(number) == degrees


@pytest.mark.parametrize(("number", "more"), [(12, 0), (11, 0), (12.49, 0), (12.5, 1), (13.4, 1), (16, 4)])
def test_each_kilowatt_or_major_fraction_above_twelve(number, more):
    """Table 220.55, Note 1."""
    assert kilowatts_over(number, 12) == more


@pytest.mark.parametrize(
    ("amperes", "above", "below"), [(40, 40, 40), (40 * UP, 40, 40), (40 * DOWN, 40, 40), (40.01, 45, 40), (39.99, 40, 35)]
)
def test_standard_ratings_next_to_forty(book, amperes, above, below):
    """240.6(A): 35, 40, 45 A."""
    assert next_standard_rating_a(book, amperes) == above
    assert largest_standard_rating_a(book, amperes) == below


@pytest.mark.parametrize(("amperes", "size"), [(65, "6"), (65 * UP, "6"), (65.01, "4"), (64.99, "6"), (50, "8")])
def test_the_smallest_size_of_an_ampacity(book, amperes, size):
    """Table 310.16, copper at 75 °C: 8 AWG 50 A, 6 AWG 65 A, 4 AWG 85 A."""
    assert smallest_size_of_ampacity(book, amperes, "copper_75c").name == size


@pytest.mark.parametrize(("area_cmil", "size"), [(16510, "8"), (16510 * UP, "8"), (16511.5, "6"), (26240, "6")])
def test_the_smallest_size_of_an_area(book, area_cmil, size):
    """Chapter 9 Table 8: 8 AWG 16 510 cmil, 6 AWG 26 240 cmil."""
    assert smallest_size_of_area(book, area_cmil).name == size
