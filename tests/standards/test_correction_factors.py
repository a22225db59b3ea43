"""Correction and adjustment factors against the formula of the code and against silicon.

The formula F = sqrt((Tc - Ta) / (Tc - 30)) is the equation for other ambients that NEC 310.15(B) prints under the tables.
"""

from __future__ import annotations

import itertools
import math

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.code.equations.ampacity import ambient_correction_factor
from permitgen.code.errors import NotInTableError, TableNotInForceError

TABLES = [
    ("ambient_correction", "2017"),
    ("ambient_correction", "2020"),
    ("ambient_correction", "2023"),
    ("pv_conductor_ambient_correction", "2020"),
    ("pv_conductor_ambient_correction", "2023"),
    ("pv_circuit_ambient_correction", "2017"),
]


@pytest.mark.parametrize(("name", "edition"), TABLES)
def test_factors_follow_the_formula_at_the_warm_end(name, edition):
    table = CodeBook(edition).table(name)
    checked = 0
    for band in table.bands[""]:
        for column, factor in band.cells.items():
            rated = int(column.removeprefix("rated_").removesuffix("c"))
            if factor is None:
                assert band.upper >= rated or ambient_correction_factor(rated, band.upper, 30) < 0.29
            elif band.lower is None and band.upper == 30:
                assert factor == 1.0
            else:
                assert abs(factor - ambient_correction_factor(rated, band.upper, 30)) < 0.00501, (band.label, column)
                checked += 1
    assert checked >= 25


@pytest.mark.parametrize(("name", "edition"), TABLES)
def test_bands_leave_no_gap(name, edition):
    bands = CodeBook(edition).table(name).bands[""]
    assert bands[0].lower is None
    assert all(after.lower == before.upper + 1 for before, after in itertools.pairwise(bands))


def test_a_temperature_between_two_bands_belongs_to_the_warmer(book):
    table = book.table("ambient_correction")
    assert table.band(40, "rated_90c").number == 0.91
    assert table.band(40.1, "rated_90c").number == table.band(41, "rated_90c").number == 0.87
    assert table.band(-40, "rated_60c").number == 1.29
    assert str(table.band(40.1, "rated_90c").origin).endswith("41 to 45 °C, rated 90 °C")


def test_blank_cells_and_temperatures_beyond_the_table_are_refused(book):
    with pytest.raises(NotInTableError, match="no value for 58 °C, rated 60 °C"):
        book.table("ambient_correction").band(58, "rated_60c")
    with pytest.raises(NotInTableError, match="does not reach 86 °C"):
        book.table("ambient_correction").band(86, "rated_90c")


def test_2017_has_its_own_pv_table_and_later_editions_theirs():
    assert CodeBook("2017").table("pv_circuit_ambient_correction").number == "Table 690.31(A)"
    for edition in ("2020", "2023"):
        with pytest.raises(TableNotInForceError):
            CodeBook(edition).table("pv_circuit_ambient_correction")
    with pytest.raises(TableNotInForceError):
        CodeBook("2017").table("pv_conductor_ambient_correction")


def test_count_adjustment_halves_the_heat_as_conductors_crowd(book):
    """Total heat of n conductors at factor F is n x F²; it may rise with n but stays under that of a full bank of forty."""
    bands = book.table("conductor_count_adjustment").bands[""]
    factors = [band.cells["adjustment"] for band in bands]
    assert factors == sorted(factors, reverse=True)
    assert factors[0] == 1.0
    heat = [band.lower * band.cells["adjustment"] ** 2 for band in bands]
    assert max(heat) <= 43 * 0.35**2
    assert [band.lower for band in bands] == [1, *(band.upper + 1 for band in bands[:-1])]
    assert bands[-1].upper is None


def test_count_adjustment_as_study_guides_print_it(book):
    """4-6: 80 %, 7-9: 70 %, 10-20: 50 %, 21-30: 45 %, 31-40: 40 %, 41 and more: 35 % (from memory of the NEC table)."""
    table = book.table("conductor_count_adjustment")
    printed = {3: 1.0, 4: 0.8, 6: 0.8, 7: 0.7, 9: 0.7, 10: 0.5, 20: 0.5, 21: 0.45, 30: 0.45, 31: 0.4, 40: 0.4, 41: 0.35, 100: 0.35}
    assert {count: table.band(count, "adjustment").number for count in printed} == printed


def test_cold_silicon_gains_about_four_tenths_of_a_percent_per_degree(book):
    """Crystalline silicon: -0.3 to -0.45 %/°C of Voc from 25 °C (band gap); the table rounds at the cold end of each band."""
    table = book.table("pv_voltage_correction")
    bands = table.bands[""]
    for band in bands:
        gain = (band.cells["voltage"] - 1) / (25 - band.upper)
        assert 0.0037 <= gain <= 0.0041, band.label
    assert all(after.lower == before.upper - 1 for before, after in itertools.pairwise(bands))
    assert table.band(-5.5, "voltage").number == table.band(-6, "voltage").number
    with pytest.raises(NotInTableError):
        table.band(-40.5, "voltage")
    with pytest.raises(NotInTableError):
        table.band(25, "voltage")


def test_formula_is_exact_at_its_ends():
    assert ambient_correction_factor(90, 30, 30) == 1.0
    assert ambient_correction_factor(90, 10, 30) == pytest.approx(math.sqrt(80 / 60))
