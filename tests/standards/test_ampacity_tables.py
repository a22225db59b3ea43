"""Ampacity tables against each other and against heat balance: no table is checked with numbers typed from our own file.

Laws used: losses grow with the square of current, so equal temperature rise asks for sqrt of the ratio of rises and of resistances;
aluminum has 61 % of the conductivity of copper (International Annealed Copper Standard); NEC 310.12 rounds up 0.83 of the rating.
"""

from __future__ import annotations

import itertools
import math

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.code.errors import TableNotInForceError
from permitgen.code.standard_sizes import smallest_size_of_ampacity
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from tests.every_case import every_case

METALS = ("copper", "aluminum")
RATINGS = (60, 75, 90)
COLUMNS = [f"{metal}_{rating}c" for metal in METALS for rating in RATINGS]
TABLES = ["conductor_ampacity", "free_air_ampacity"]


def column(book, table, name):
    """Sizes and ampacities of a column, small to large, blanks left out."""
    numbers = [(size, book.table(table).number_at(size, name)) for size in ALL_SIZES]
    return [(size, number) for size, number in numbers if number is not None]


def kcmil(book, size):
    return book.table("conductor_properties").at(("stranded", size), "area").number / 1000


@every_case("table", TABLES)
@every_case("name", COLUMNS)
def test_larger_conductors_carry_more(book, table, name):
    ampacities = [number for _, number in column(book, table, name)]
    assert len(ampacities) == (23 if name.startswith("aluminum") else 26 if name.endswith("90c") else 24)
    assert ampacities == sorted(set(ampacities))


@pytest.mark.parametrize("table", TABLES)
def test_hotter_insulation_carries_more(book, table):
    for metal, size in itertools.product(METALS, ALL_SIZES):
        numbers = [book.table(table).number_at(size, f"{metal}_{rating}c") for rating in RATINGS]
        present = [number for number in numbers if number is not None]
        assert present == sorted(set(present))


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("rating", RATINGS)
def test_aluminum_carries_the_root_of_its_conductivity(book, table, rating):
    """sqrt(0.61) = 0.78; the tables round to 5 A, so small sizes scatter more."""
    for size, copper in column(book, table, f"copper_{rating}c"):
        aluminum = book.table(table).number_at(size, f"aluminum_{rating}c")
        if aluminum is not None:
            assert abs(aluminum - math.sqrt(0.61) * copper) <= max(5.0, 0.06 * copper), (size, copper, aluminum)


@every_case("table", TABLES)
@every_case("name", COLUMNS)
def test_ampacity_is_smooth_in_area(book, table, name):
    """On a logarithmic scale each cell lies between its neighbors, to the 5 A steps of the table."""
    points = [(math.log(kcmil(book, size)), math.log(number)) for size, number in column(book, table, name) if size >= ConductorSize("14")]
    for (x0, y0), (x1, y1), (x2, y2) in zip(points, points[1:], points[2:], strict=False):
        expected = math.exp(y0 + (y2 - y0) * (x1 - x0) / (x2 - x0))
        assert abs(math.exp(y1) - expected) <= max(5.0, 0.03 * expected), (table, name, math.exp(y1), expected)


@pytest.mark.parametrize("name", COLUMNS)
def test_free_air_is_never_worse_than_a_raceway(book, name):
    in_raceway = dict(column(book, "conductor_ampacity", name))
    in_air = dict(column(book, "free_air_ampacity", name))
    assert set(in_air) == set(in_raceway)
    assert all(in_air[size] >= in_raceway[size] for size in in_air)


def test_free_air_keeps_the_smaller_reading_before_2023():
    older, newer = CodeBook("2020").table("free_air_ampacity"), CodeBook("2023").table("free_air_ampacity")
    differing = [(row, name) for row in newer.rows for name in newer.columns if older.number_at(row, name) != newer.number_at(row, name)]
    assert differing == [("6", "aluminum_90c"), ("4", "aluminum_90c"), ("900", "aluminum_90c")]
    assert all(older.number_at(row, name) == newer.number_at(row, name) - 5 for row, name in differing)


@pytest.mark.parametrize("metal", METALS)
def test_dwelling_conductors_follow_from_83_percent(book, metal):
    table, factor = book.table("dwelling_service_conductor"), book.provision("dwelling_83_percent").value("rating_factor").number
    for rating in table.rows:
        needed = smallest_size_of_ampacity(book, factor * float(rating), f"{metal}_75c")
        assert table.text_at(rating, metal).text == needed.name


def test_pv_conductors_lie_above_the_90_degree_column():
    """Equal losses: 105 °C conductors carry sqrt((105 - 30) / (90 - 30)) of the 90 °C ampacity, the table within 10 %."""
    for edition in ("2020", "2023"):
        book = CodeBook(edition)
        table = book.table("pv_conductor_ampacity")
        for size in table.rows:
            base, warm, hot = book.table("conductor_ampacity").at(size, "copper_90c").number, *table.cells[size].values()
            assert base < warm < hot
            assert warm == pytest.approx(base * math.sqrt(75 / 60), rel=0.10, abs=2.5)
            assert hot == pytest.approx(warm * math.sqrt(95 / 75), rel=0.06, abs=1.5)
            if ConductorSize(size) >= ConductorSize("14"):
                assert hot / warm == pytest.approx(1.078, abs=0.012)  # the table's own regularity, no outside source
    with pytest.raises(TableNotInForceError, match="NEC 2017 has no table"):
        CodeBook("2017").table("pv_conductor_ampacity")


def test_insulation_ratings_follow_the_letters_of_the_type(book):
    """UL 83, UL 44: H is 75 °C, HH is 90 °C, W permits wet places, -2 is 90 °C wet and dry."""
    table = book.table("insulation_temperature_rating")
    by_letters = [
        name for name in table.rows if name not in {"UF", "USE", "USE-2", "NM-B", "PV wire", "MI", "FEP", "FEPB", "SA", "SIS", "TBS"}
    ]
    assert len(by_letters) == 15
    for name in by_letters:
        dry, wet = (table.number_at(name, place) for place in ("dry", "wet"))
        assert (wet is not None) == ("W" in name), name
        expected = 90 if name.endswith("-2") or "HH" in name else 75 if "H" in name else 60
        assert dry == expected, name
        if wet is not None:
            assert wet == (expected if name.endswith("-2") else min(expected, 75)), name
    for name in table.rows:
        if name != "NM-B":
            assert table.number_at(name, "final_limit") == table.number_at(name, "dry")
    assert table.at("USE-2", "wet").number == table.at("PV wire", "wet").number == 90
    assert table.at("NM-B", "final_limit").number == book.provision("nm_cable_ampacity").value("final_c").number
