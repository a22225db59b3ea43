"""Dimensions and resistances of conductors against the standards they are made by.

ASTM B258: diameter 0.005 in × 92^((36 - n) / 39), 4/0 is n = -3. Concentric stranding: 3, 5, 7, 9 strands across for 7, 19, 37, 61.
International Annealed Copper Standard: 10.371 Ω·cmil/ft at 20 °C, aluminum 61 % of it, coefficients 0.00393 and 0.00403 at 20 °C.
Insulation walls in mils: UL 83 (THHN with its nylon, THW), UL 44 (XHHW, RHW with and without covering); walls from memory of them.
"""

from __future__ import annotations

import math

import pytest

from permitgen.code.equations.raceway_fill import pv_wire_diameter_in
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize

COPPER_OHM_CMIL_PER_FT = 10.371
ALUMINUM_OHM_CMIL_PER_FT = 10.371 / 0.61
STRANDS_ACROSS = {1: 1, 7: 3, 19: 5, 37: 7, 61: 9}
AWG_NUMBER = {"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}

# wall in mils up to and including the size
WALLS = {
    "THHN": {"12": 19, "10": 24, "6": 35, "2": 46, "4/0": 57, "500": 68, "1000": 79},
    "XHHW": {"10": 30, "8": 45, "2": 45, "4/0": 55, "500": 65, "1000": 80},
    "THW": {"10": 30, "8": 45, "2": 60, "4/0": 80, "500": 95, "1000": 110},
    "RHW-2*": {"10": 45, "8": 60, "2": 60, "4/0": 80, "500": 95, "1000": 110},
    "RHW-2": {"10": 60, "8": 90, "2": 90, "4/0": 125, "500": 160, "1000": 175},
}


def rows(book):
    table = book.table("conductor_properties")
    return [(stranding, size, table.cells[stranding, size]) for stranding, size in table.rows]


def standard_cmil(size):
    if ConductorSize(size).is_kcmil:
        return 1000.0 * float(size)
    number = AWG_NUMBER[size] if size in AWG_NUMBER else int(size)
    return (5 * 92 ** ((36 - number) / 39)) ** 2


def test_areas_follow_the_wire_gauge(book):
    for _, size, cells in rows(book):
        assert cells["area"] == pytest.approx(standard_cmil(size), rel=0.0035 if size in {"18", "16"} else 0.001), size


def test_diameters_follow_area_and_stranding(book):
    for _, size, cells in rows(book):
        strands = cells["strands"]
        strand = math.sqrt(standard_cmil(size) / strands) / 1000
        if strands > 1:
            assert cells["strand_diameter"] == pytest.approx(strand, abs=0.00055), size
        assert cells["diameter"] == pytest.approx(STRANDS_ACROSS[strands] * strand, abs=0.0016), size
        one_digit = 0.001  # the book cuts digits here (12 AWG: 0.0066 printed as 0.006)
        assert cells["bare_area"] == pytest.approx(math.pi / 4 * cells["diameter"] ** 2, abs=one_digit), size


@pytest.mark.parametrize(
    ("column", "resistivity", "coefficient"),
    [("copper_uncoated_resistance", COPPER_OHM_CMIL_PER_FT, 0.00393), ("aluminum_resistance", ALUMINUM_OHM_CMIL_PER_FT, 0.00403)],
)
def test_resistances_follow_resistivity(book, column, resistivity, coefficient):
    for stranding, size, cells in rows(book):
        warm = resistivity * 1000 / standard_cmil(size) * (1 + coefficient * 55) * (1.02 if stranding == "stranded" else 1.0)
        assert cells[column] == pytest.approx(warm, rel=0.015), (stranding, size)


def test_coating_adds_two_to_seven_percent(book):
    """Tin on fine strands: more on thin wires (plausibility, no published law)."""
    for _, size, cells in rows(book):
        assert 1.015 <= cells["copper_coated_resistance"] / cells["copper_uncoated_resistance"] <= 1.07, size


def wall_in(insulation, size):
    for largest, mils in WALLS[insulation].items():
        if ConductorSize(size) <= ConductorSize(largest):
            return mils / 1000
    raise AssertionError(size)


@pytest.mark.parametrize("insulation", WALLS)
def test_insulated_diameters_are_conductor_and_two_walls(book, insulation):
    dimensions, bare = book.table("conductor_dimensions"), book.table("conductor_properties")
    sizes = dimensions.rows_of(insulation)
    assert len(sizes) == 24
    for size in sizes:
        expected = bare.at(("stranded", size), "diameter").number + 2 * wall_in(insulation, size)
        cells = dimensions.cells[insulation, size]
        assert cells["diameter"] == pytest.approx(expected, abs=0.0011), (insulation, size)
        assert cells["area"] == pytest.approx(math.pi / 4 * cells["diameter"] ** 2, abs=0.00076, rel=0.001), (insulation, size)


def test_every_insulation_with_dimensions_has_a_rating(book):
    groups, ratings = book.table("insulation_dimension_group"), book.table("insulation_temperature_rating")
    assert set(groups.rows) <= set(ratings.rows)
    assert {groups.text_at(name, "dimensions_of").text for name in groups.rows} == set(book.table("conductor_dimensions").groups)


def test_pv_wire_is_thicker_than_any_building_wire(book):
    """UL 4703 asks for thicker walls at 2 kV than the covered RHW-2 of UL 44 at 600 V up to 10 AWG, and than XHHW for every size."""
    bare, walls = book.table("conductor_properties"), book.table("pv_wire_insulation_wall")
    mils = {size: round(1000 * walls.at(size, "wall").number, 3) for size in walls.rows}
    assert mils == {
        size: 75 if size in {"14", "12", "10"} else 85 if size in {"8", "6", "4", "3", "2"} else 105 for size in mils
    }  # UL 4703
    for size in walls.rows:
        estimate = pv_wire_diameter_in(bare.at(("stranded", size), "diameter").number, walls.at(size, "wall").number, 1.05)
        assert estimate > book.table("conductor_dimensions").at(("RHW-2*", size), "diameter").number


def test_table_holds_every_size_to_1000_kcmil(book):
    stranded = book.table("conductor_properties").rows_of("stranded")
    assert list(stranded) == [size.name for size in ALL_SIZES if size <= ConductorSize("1000")]
