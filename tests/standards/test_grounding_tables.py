"""Grounding tables against the areas of the conductors they pair, and against each other."""

from __future__ import annotations

import pytest

from permitgen.code.errors import NotInTableError
from permitgen.code.standard_sizes import standard_ratings_a
from permitgen.values.conductor_size import ConductorSize

METALS = ("copper", "aluminum")


def kcmil(book, size):
    return book.table("conductor_properties").at(("stranded", size), "area").number / 1000


def sizes(table, column, group=""):
    return [ConductorSize(band.cells[column]) for band in table.bands[group]]


@pytest.mark.parametrize("metal", METALS)
def test_grounding_conductors_grow_with_the_device(book, metal):
    table = book.table("equipment_grounding_conductor")
    grown = sizes(table, metal)
    assert grown == sorted(grown)
    assert len(grown) == 19
    bounds = [band.upper for band in table.bands[""]]
    assert bounds == sorted(bounds)
    assert set(bounds) <= set(standard_ratings_a(book))


def test_aluminum_grounding_conductors_make_up_for_their_conductivity(book):
    """1 / 0.61 = 1.64 of the area, to the next size: ratios from 1.2 to 1.8."""
    for band in book.table("equipment_grounding_conductor").bands[""]:
        copper, aluminum = band.cells["copper"], band.cells["aluminum"]
        if aluminum in {"1250"}:
            continue  # larger than Table 8 of this program goes
        assert 1.2 <= kcmil(book, aluminum) / kcmil(book, copper) <= 1.8 or aluminum == "600", band.label


def test_grounding_conductor_is_never_larger_than_the_conductor_protected(book):
    """The circuit conductor has the ampacity of its device, at 60 °C to 100 A and at 75 °C above (110.14(C)); to 400 A."""
    table, ampacity = book.table("equipment_grounding_conductor"), book.table("conductor_ampacity")
    for band in table.bands[""]:
        if band.upper <= 400:
            column = "copper_60c" if band.upper <= 100 else "copper_75c"
            circuit = next(ConductorSize(row) for row in ampacity.rows if (ampacity.number_at(row, column) or 0) >= band.upper)
            assert ConductorSize(band.cells["copper"]) <= circuit, band.label


def test_row_is_read_by_not_exceeding(book):
    table = book.table("equipment_grounding_conductor")
    assert table.band_text(60, "copper").text == "10"
    assert table.band_text(60.5, "copper").text == "8"
    assert str(table.band_text(45, "copper").origin) == f"{table.number}, not over 60 A, copper"
    with pytest.raises(NotInTableError, match="6001 A"):
        table.band_text(6001, "copper")


@pytest.mark.parametrize("metal", METALS)
def test_bands_are_bounded_by_areas_of_standard_sizes(book, metal):
    """250.66 and 250.102(C)(1): 2, 1/0, 3/0 copper, then 350, 600, 1100 kcmil; aluminum 1/0, 3/0, 250, then 500, 900, 1750 kcmil."""
    awg = {"copper": ["2", "1/0", "3/0"], "aluminum": ["1/0", "3/0"]}[metal]
    large = {"copper": [350, 600, 1100], "aluminum": [250, 500, 900, 1750]}[metal]
    expected = [kcmil(book, size) for size in awg] + large
    for name in ("grounding_electrode_conductor", "bonding_jumper"):
        assert [band.upper for band in book.table(name).bands[metal] if band.upper is not None] == pytest.approx(expected)


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("column", METALS)
def test_both_tables_agree_where_both_have_a_row(book, metal, column):
    electrode, jumper = (sizes(book.table(name), column, metal) for name in ("grounding_electrode_conductor", "bonding_jumper"))
    assert electrode[: len(jumper)] == jumper
    assert electrode == sorted(electrode)
    assert len(electrode) == len(jumper) + 1


def test_jumpers_carry_an_eighth_to_a_quarter_of_the_service(book):
    """The rule beyond the table is 12.5 %: the last row is just that, smaller ones more (copper on copper)."""
    for band in book.table("bonding_jumper").bands["copper"]:
        assert 0.12 <= kcmil(book, band.cells["copper"]) / band.upper <= 0.26, band.label


def test_jumper_beyond_the_table_is_refused(book):
    with pytest.raises(NotInTableError, match="copper 1500 kcmil"):
        book.table("bonding_jumper").band_text(1500, "copper", "copper")
    assert book.table("grounding_electrode_conductor").band_text(1500, "copper", "copper").text == "3/0"


def test_band_prints_as_the_book_does(book):
    origin = book.table("grounding_electrode_conductor").band_text(335.6, "copper", "copper").origin
    assert str(origin) == "Table 250.66, copper over 3/0 AWG through 350 kcmil, copper"
