"""Overcurrent ratings and the limits of small conductors."""

from __future__ import annotations

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.code.errors import NotInTableError
from permitgen.code.standard_sizes import (
    largest_protecting_rating_a,
    largest_standard_rating_a,
    next_standard_rating_a,
    select_next_rating,
    standard_ratings_a,
)
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

# The text of NEC 2017 Table 240.6(A), from memory of the book.
AS_PRINTED = """
15 20 25 30 35 40 45 50 60 70 80 90 100 110 125 150 175 200 225 250 300 350 400 450 500 600 700 800
1000 1200 1600 2000 2500 3000 4000 5000 6000
"""


def test_standard_ratings_as_the_book_prints_them(book):
    printed = [float(word) for word in AS_PRINTED.split()]
    assert list(standard_ratings_a(book)) == ([10.0, *printed] if book.edition == "2023" else printed)


def test_fuses_have_more_ratings(book):
    table = book.table("standard_overcurrent_ratings")
    assert table.rows_of("fuses only") == ("1", "3", "6", "10", "601")


def test_next_and_largest_rating(book):
    assert next_standard_rating_a(book, 47.5) == 50
    assert next_standard_rating_a(book, 50.0000000001) == 50
    assert next_standard_rating_a(book, 50.1) == 60
    assert largest_standard_rating_a(book, 44.9) == 40
    with pytest.raises(NotInTableError):
        next_standard_rating_a(book, 6001)
    with pytest.raises(NotInTableError):
        largest_standard_rating_a(book, 9)


@pytest.mark.parametrize(("ampacity", "rating"), [(65, 70), (50, 50), (799, 800), (801, 800), (1150, 1000), (800, 800)])
def test_next_size_up_ends_at_800_amperes(book, ampacity, rating):
    assert largest_protecting_rating_a(book, ampacity) == rating


def test_selection_keeps_its_reason(book):
    required = Value(39.6, "a", Assumed("a test"), "I_125")
    chosen = select_next_rating(book, required)
    assert chosen.number == 40
    assert chosen.origin.inputs == (required,)
    assert chosen.origin.section == "240.6(A)"


def test_small_conductors_are_limited_to_their_60_degree_ampacity(book):
    """The limits of 240.4(D) from 14 AWG up are the 60 °C ampacities of the general table; copper-clad aluminum counts as aluminum."""
    limits, ampacity = book.table("small_conductor_limit"), book.table("conductor_ampacity")
    for metal in ("copper", "aluminum"):
        for size in limits.rows_of(metal):
            if size not in {"18", "16"}:
                assert limits.at((metal, size), "maximum").number == ampacity.at(size, f"{metal}_60c").number
    for size in ("12", "10"):
        assert limits.at(("copper-clad aluminum", size), "maximum").number == limits.at(("aluminum", size), "maximum").number


def test_continuous_loads_of_control_sizes_are_80_percent(book):
    """5.6 A and 8 A continuous on 7 A and 10 A devices (text of 240.4(D)(1), (2), from memory)."""
    limits = book.table("small_conductor_limit")
    assert 0.8 * limits.at(("copper", "18"), "maximum").number == pytest.approx(5.6)
    assert 0.8 * limits.at(("copper", "16"), "maximum").number == pytest.approx(8.0)


def test_items_moved_by_one_in_2023():
    def items(edition):
        table = CodeBook(edition).table("small_conductor_limit")
        return {key: table.cells[key]["item"] for key in table.rows}

    before, after = items("2020"), items("2023")
    assert items("2017") == before
    assert before["copper-clad aluminum", "14"] is None
    assert after["copper-clad aluminum", "14"] == "(D)(3)"
    for key, item in before.items():
        if item and item not in {"(D)(1)", "(D)(2)"}:
            assert after[key] == f"(D)({int(item[4]) + 1})"
    with pytest.raises(NotInTableError):
        CodeBook("2020").table("small_conductor_limit").at(("copper-clad aluminum", "14"), "maximum")


def test_stocked_ratings_are_standard_or_busbar_ratings(nec_2023):
    table = nec_2023.table("commonly_stocked_ratings")
    assert table.number == "common practice, no published source"
    assert {float(row) for row in table.rows_of("two-pole breaker")} <= set(standard_ratings_a(nec_2023))
