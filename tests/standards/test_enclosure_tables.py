"""Bending space and boxes against geometry; no physical law gives the numbers, so shape, order and published cells are checked."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from permitgen.code.equations.box_fill import conductors_in_box_count
from permitgen.code.errors import NotInTableError
from permitgen.code.rounding import whole_count
from permitgen.values.conductor_size import ConductorSize
from tests.every_case import every_case

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


# NEC Tables 312.6(A) and (B) as the book groups them, recalled from memory; in brackets what lay-in terminals may take off.
OTHER_WALLS = """
14 12 10:   0
8 6:        1.5
4 3:        2
2:          2.5
1:          3
1/0 2/0:    3.5 5 7
3/0 4/0:    4 6 8
250:        4.5 6 8 10
300 350:    5 8 10 12
400 500:    6 8 10 12 14
600 700:    8 10 12 14 16
750 800 900: 8 12 14 16 18
1000:       10
"""
OPPOSITE_WALL = """
14 12 10:   0
8:          1.5
6:          2
4 3:        3
2:          3.5
1:          4.5
1/0:        5.5 5.5 7
2/0:        6 6 7.5
3/0:        6.5(0.5) 6.5(0.5) 8
4/0:        7(1) 7.5(1.5) 8.5(0.5)
250:        8.5(2) 8.5(2) 9(1) 10
300:        10(3) 10(2) 11(1) 12
350:        12(3) 12(3) 13(3) 14(2)
400:        13(3) 13(3) 14(3) 15(3)
500:        14(3) 14(3) 15(3) 16(3)
600:        15(3) 16(3) 18(3) 19(3)
700:        16(3) 18(3) 20(3) 22(3)
750:        17(3) 19(3) 22(3) 24(3)
800:        18 20 22 24
900:        19 22 24 24
1000:       20
"""


def recalled(text):
    for line in text.strip().splitlines():
        sizes, cells = line.split(":")
        numbers = [tuple(float(part) for part in cell.rstrip(")").split("(")) for cell in cells.split()]
        for size in sizes.split():
            yield size, [cell[0] for cell in numbers], [cell[1] if len(cell) > 1 else None for cell in numbers]


@pytest.mark.parametrize(("name", "text"), [("wire_bending_other_walls", OTHER_WALLS), ("wire_bending_opposite_wall", OPPOSITE_WALL)])
def test_bending_space_as_recalled(book, name, text):
    table, reduction = book.table(name), book.table("wire_bending_reduction")
    assert [size for size, _, _ in recalled(text)] == list(table.rows)
    for size, spaces, reductions in recalled(text):
        assert [cell for cell in table.cells[size].values() if cell is not None] == spaces, size
        if text is OPPOSITE_WALL:
            columns = list(table.columns)[: len(reductions)]
            assert [reduction.number_at(size, column) for column in columns] == reductions, size


# Conductors of 18, 14, 12 and 6 AWG in a box: columns of NEC Table 314.16(A), recalled from memory.
COUNTS = {
    ("round/octagonal", "4 x 1-1/4"): (8, 6, 5, 2),
    ("round/octagonal", "4 x 1-1/2"): (10, 7, 6, 3),
    ("round/octagonal", "4 x 2-1/8"): (14, 10, 9, 4),
    ("square", "4 x 1-1/4"): (12, 9, 8, 3),
    ("square", "4 x 1-1/2"): (14, 10, 9, 4),
    ("square", "4 x 2-1/8"): (20, 15, 13, 6),
    ("square", "4-11/16 x 1-1/4"): (17, 12, 11, 5),
    ("square", "4-11/16 x 1-1/2"): (19, 14, 13, 5),
    ("square", "4-11/16 x 2-1/8"): (28, 21, 18, 8),
    ("device", "3 x 2 x 1-1/2"): (5, 3, 3, 1),
    ("device", "3 x 2 x 2"): (6, 5, 4, 2),
    ("device", "3 x 2 x 2-1/4"): (7, 5, 4, 2),
    ("device", "3 x 2 x 2-1/2"): (8, 6, 5, 2),
    ("device", "3 x 2 x 2-3/4"): (9, 7, 6, 2),
    ("device", "3 x 2 x 3-1/2"): (12, 9, 8, 3),
    ("device", "4 x 2-1/8 x 1-1/2"): (6, 5, 4, 2),
    ("device", "4 x 2-1/8 x 1-7/8"): (8, 6, 5, 2),
    ("device", "4 x 2-1/8 x 2-1/8"): (9, 7, 6, 2),
}


@every_case("key", COUNTS)
def test_boxes_hold_the_printed_number_of_conductors(book, key):
    volume = book.table("metal_box_volume").at(key, "volume").number
    allowances = [book.table("box_fill_allowance").at(size, "volume").number for size in ("18", "14", "12", "6")]
    assert tuple(whole_count(conductors_in_box_count(volume, allowance)) for allowance in allowances) == COUNTS[key]
