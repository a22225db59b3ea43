"""Bending space and boxes against geometry; no physical law gives the numbers, so shape, order and published cells are checked."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from permitgen.code.errors import NotInTableError
from permitgen.values.conductor_size import ConductorSize

BENDING = ("wire_bending_other_walls", "wire_bending_opposite_wall")


@pytest.mark.parametrize("name", BENDING)
def test_bending_space_grows_with_size_and_number(book, name):
    table = book.table(name)
    assert [ConductorSize(size) for size in table.rows] == sorted(ConductorSize(size) for size in table.rows)
    for column in table.columns:
        spaces = [table.cells[size][column] for size in table.rows if table.cells[size][column] is not None]
        assert spaces == sorted(spaces), column
    for size in table.rows:
        spaces = [space for space in table.cells[size].values() if space is not None]
        assert spaces == sorted(spaces), size


def test_opposite_wall_asks_for_at_least_as_much(book):
    other, opposite = (book.table(name) for name in BENDING)
    assert other.rows == opposite.rows
    for size in other.rows:
        assert opposite.cells[size]["one_wire"] >= other.cells[size]["one_wire"], size


def test_bending_radius_is_several_diameters(book):
    """One wire from 1/0 AWG at the opposite wall: 8 diameters of bare conductor for an S-bend (common practice, no published source)."""
    for size in book.table("wire_bending_opposite_wall").rows:
        if ConductorSize(size) >= ConductorSize("1/0"):
            space = book.table("wire_bending_opposite_wall").at(size, "one_wire").number
            assert space >= 8 * book.table("conductor_properties").at(("stranded", size), "diameter").number, size


def test_more_parallel_wires_than_the_table_are_refused(book):
    with pytest.raises(NotInTableError, match="4 AWG, two wires"):
        book.table("wire_bending_other_walls").at("4", "two_wires")


def test_reductions_leave_the_space_of_the_other_walls(book):
    reduction, opposite, other = (book.table(name) for name in ("wire_bending_reduction", *reversed(BENDING)))
    for size in reduction.rows:
        for column, less in reduction.cells[size].items():
            if less is not None:
                assert opposite.cells[size][column] - less >= 0.65 * other.cells[size][column], (size, column)


def test_compact_aluminum_uses_a_smaller_row(book):
    table = book.table("compact_aluminum_bending_row")
    for size in table.rows:
        rows = [ConductorSize(table.text_at(size, column).text) for column in table.columns]
        assert all(row < ConductorSize(size) for row in rows), size
        assert rows[0] <= rows[1]


def inches(word):
    return float(sum(Fraction(part) for part in word.split("-")))


def test_boxes_hold_most_of_their_outside_volume(book):
    """4 x 1-1/2 square: 24 in³ outside, 21 in³ listed; rounds and octagons against the circle and octagon of their width."""
    table, checked = book.table("metal_box_volume"), 0
    for shape, box in table.rows:
        parts = box.split(" x ")
        if not all(part[0].isdigit() for part in parts):
            continue
        sides = [inches(part) for part in parts]
        area = sides[0] ** 2 * (1 if shape == "square" else math.pi / 4) if len(sides) == 2 else sides[0] * sides[1]
        share = table.cells[shape, box]["volume"] / (area * sides[-1])
        assert 0.7 <= share <= 1.0, (shape, box, share)
        checked += 1
    assert checked >= 20


def test_allowances_grow_by_quarters_to_10_awg(book):
    """1.50 in³ at 18 AWG and 0.25 in³ more each size to 10 AWG, then 3 and 5 (text of 314.16(B), from memory)."""
    table = book.table("box_fill_allowance")
    assert [table.at(size, "volume").number for size in ("18", "16", "14", "12", "10")] == [1.5 + 0.25 * step for step in range(5)]
    assert [table.at(size, "volume").number for size in ("8", "6")] == [3.0, 5.0]
    with pytest.raises(NotInTableError, match="no row 4 AWG"):
        table.at("4", "volume")
