"""Tightening torques: order, shape, and the rows of NEC 2014 Annex I Table I.1, recalled from memory of that print."""

from __future__ import annotations

import pytest

from permitgen.code.errors import NotInTableError
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize

# slotted narrow and short, slotted wide or long, split bolt, other hexagonal
RECALLED = {
    "14": (20, 35, 80, 75),
    "10": (20, 35, 80, 75),
    "8": (25, 40, 80, 75),
    "6": (35, 45, 165, 110),
    "4": (35, 45, 165, 110),
    "3": (35, 50, 275, 150),
    "2": (40, 50, 275, 150),
    "1": (None, 50, 275, 150),
    "1/0": (None, 50, 385, 180),
    "2/0": (None, 50, 385, 180),
    "3/0": (None, 50, 500, 250),
    "4/0": (None, 50, 500, 250),
    "250": (None, 50, 650, 325),
    "350": (None, 50, 650, 325),
    "600": (None, 50, 1000, 375),
    "750": (None, 50, 1000, 375),
    "1000": (None, 50, 1100, 500),
    "2000": (None, None, 1100, 600),
}


def test_rows_as_recalled(book):
    table = book.table("tightening_torque")
    assert {size: tuple(table.cells[size].values()) for size in RECALLED} == RECALLED


def test_every_size_has_a_row_and_torque_never_falls(book):
    table = book.table("tightening_torque")
    assert list(table.rows) == [size.name for size in ALL_SIZES]
    for column in table.columns:
        torques = [table.cells[size][column] for size in table.rows if table.cells[size][column] is not None]
        assert torques == sorted(torques), column


@pytest.mark.parametrize("name", ["slotted_screw_torque", "socket_screw_torque"])
def test_larger_screws_take_more(book, name):
    table = book.table(name)
    for column in table.columns:
        torques = [table.cells[row][column] for row in table.rows if table.cells[row][column] is not None]
        assert torques == sorted(torques)


def test_no_torque_where_the_book_has_none(book):
    with pytest.raises(NotInTableError):
        book.table("tightening_torque").at(ConductorSize("1"), "slotted_narrow_and_short")


# Tables I.2 (narrow, wide) and I.3 of the same annex, recalled from memory.
SLOTTED = {"< 5/32": (7, 9), "5/32": (7, 12), "3/16": (7, 12), "7/32": (7, 12), "1/4": (9, 12), "9/32": (None, 15), "> 9/32": (None, 20)}
SOCKETS = {"1/8": 45, "5/32": 100, "3/16": 120, "7/32": 150, "1/4": 200, "5/16": 275, "3/8": 375, "1/2": 500, "9/16": 600}


def test_small_screws_as_recalled(book):
    slotted, sockets = book.table("slotted_screw_torque"), book.table("socket_screw_torque")
    assert {row: tuple(slotted.cells[row].values()) for row in slotted.rows} == SLOTTED
    assert {row: sockets.cells[row]["torque"] for row in sockets.rows} == SOCKETS
