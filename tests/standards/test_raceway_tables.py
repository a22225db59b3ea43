"""Raceway dimensions against the product standards, fill against geometry and Annex C.

Outside diameters and walls in inches, from memory of ANSI C80.1 (rigid), C80.3 (tubing), C80.6 (intermediate), NEMA TC 2 (PVC: smallest
wall and its tolerance). Internal diameter = outside diameter less two mean walls.
"""

from __future__ import annotations

import math

import pytest

from permitgen.code.equations.raceway_fill import permitted_fill_in2
from permitgen.code.errors import NotInTableError
from permitgen.values.trade_size import TRADE_SIZES, trade_size_in

SIZES = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4"]
STEEL_PIPE = [0.840, 1.050, 1.315, 1.660, 1.900, 2.375, 2.875, 3.500, 4.000, 4.500]
OUTSIDE = {
    "EMT": [0.706, 0.922, 1.163, 1.510, 1.740, 2.197, 2.875, 3.500, 4.000, 4.500],
    "RMC": STEEL_PIPE,
    "IMC": [0.815, 1.029, 1.290, 1.638, 1.883, 2.360, 2.857, 3.476, 3.971, 4.466],
    "PVC-40": STEEL_PIPE,
    "PVC-80": STEEL_PIPE,
}
WALL = {
    "EMT": [0.042, 0.049, 0.057, 0.065, 0.065, 0.065, 0.072, 0.072, 0.083, 0.083],
    "RMC": [0.104, 0.107, 0.126, 0.133, 0.138, 0.146, 0.193, 0.205, 0.215, 0.225],
    "IMC": [0.0775, 0.0825, 0.0925, 0.095, 0.100, 0.105, 0.150, 0.150, 0.150, 0.150],
    "PVC-40": [0.109, 0.113, 0.133, 0.140, 0.145, 0.154, 0.203, 0.216, 0.226, 0.237],
    "PVC-80": [0.147, 0.154, 0.179, 0.191, 0.200, 0.218, 0.276, 0.300, 0.318, 0.337],
}
TOLERANCE = {
    "PVC-40": [0.020, 0.020, 0.020, 0.020, 0.020, 0.020, 0.024, 0.026, 0.027, 0.028],
    "PVC-80": [0.020, 0.020, 0.021, 0.023, 0.024, 0.026, 0.033, 0.036, 0.038, 0.040],
}


@pytest.mark.parametrize("raceway", OUTSIDE)
def test_internal_diameters_follow_from_the_walls(book, raceway):
    table = book.table("raceway_dimensions")
    assert list(table.rows_of(raceway)) == SIZES
    for index, size in enumerate(SIZES):
        mean_wall = WALL[raceway][index] + TOLERANCE.get(raceway, [0.0] * 10)[index] / 2
        internal = OUTSIDE[raceway][index] - 2 * mean_wall
        assert table.at((raceway, size), "internal_diameter").number == pytest.approx(internal, abs=0.0011), (raceway, size)


def test_areas_are_circles(book):
    table = book.table("raceway_dimensions")
    for key in table.rows:
        circle = math.pi / 4 * table.cells[key]["internal_diameter"] ** 2
        assert table.cells[key]["total_area"] == pytest.approx(circle, rel=0.0015, abs=0.0006), key


def test_raceways_grow_with_their_trade_size(book):
    table = book.table("raceway_dimensions")
    for raceway in table.groups:
        sizes = table.rows_of(raceway)
        assert [trade_size_in(size) for size in sizes] == sorted(trade_size_in(size) for size in sizes)
        areas = [table.cells[raceway, size]["total_area"] for size in sizes]
        assert areas == sorted(set(areas))


def test_heavier_walls_leave_less_room(book):
    table = book.table("raceway_dimensions")
    for size in SIZES:
        room = {raceway: table.at((raceway, size), "total_area").number for raceway in OUTSIDE}
        assert room["PVC-80"] < room["PVC-40"] < room["RMC"] or size in {"2-1/2", "3", "3-1/2", "4"}
        assert room["RMC"] < room["IMC"]


def test_metric_designators_are_the_bore_of_rigid_conduit_in_millimeters(book):
    table, bores = book.table("metric_designator"), book.table("raceway_dimensions")
    assert set(table.rows) == set(TRADE_SIZES)
    for size in SIZES:
        bore = 25.4 * bores.at(("RMC", size), "internal_diameter").number
        assert table.at(size, "designator").number == pytest.approx(bore, abs=0.6), size


def test_fill_leaves_two_conductors_the_least_room(book):
    """53, 31 and 40 percent: Chapter 9 Table 1, from memory; the areas of Table 4 at 40 % below are from memory of that table."""
    table = book.table("conduit_fill")
    assert [table.band(count, "fill").number for count in (1, 2, 3, 4, 40)] == [53, 31, 40, 40, 40]
    with pytest.raises(NotInTableError):
        table.band(0, "fill")


@pytest.mark.parametrize(
    ("raceway", "size", "area"),
    [
        ("EMT", "1/2", 0.122),
        ("EMT", "3/4", 0.213),
        ("EMT", "1", 0.346),
        ("RMC", "3/4", 0.220),
        ("PVC-40", "1", 0.333),
        ("PVC-80", "3/4", 0.164),
    ],
)
def test_permitted_areas_as_the_table_prints_them(book, raceway, size, area):
    total = book.table("raceway_dimensions").at((raceway, size), "total_area").number
    assert permitted_fill_in2(book.table("conduit_fill").band(3, "fill").number, total) == pytest.approx(area, abs=0.0006)
