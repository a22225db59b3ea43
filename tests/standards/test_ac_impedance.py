"""Chapter 9 Table 9 against itself and Table 8: Z at 0.85 power factor is R cos + X sin (note 2 of the table)."""

from __future__ import annotations

import itertools
import math

import pytest

from permitgen.code.equations.voltage_drop import effective_impedance_ohm_per_kft, reactive_factor
from permitgen.values.conductor_size import ConductorSize

METALS, CONDUITS = ("copper", "aluminum"), ("pvc", "aluminum", "steel")


def last_digit(number):
    """Half a unit of the last of the two printed digits."""
    return 0.5 * 10 ** (math.floor(math.log10(number)) - 1)


@pytest.mark.parametrize(("metal", "conduit"), list(itertools.product(METALS, CONDUITS)))
def test_impedance_is_resistance_and_reactance_at_085(book, metal, conduit):
    table, checked = book.table("ac_impedance"), 0
    for size in table.rows:
        cells = table.cells[size]
        resistance, impedance = cells[f"{metal}_resistance_in_{conduit}"], cells[f"{metal}_impedance_in_{conduit}"]
        if resistance is None:
            assert impedance is None
            continue
        reactance = cells["reactance_in_steel" if conduit == "steel" else "reactance_in_pvc_or_aluminum"]
        computed = effective_impedance_ohm_per_kft(resistance, 0.85, reactance, reactive_factor(0.85))
        rounding = last_digit(impedance) + 0.85 * last_digit(resistance) + reactive_factor(0.85) * last_digit(reactance)
        assert abs(impedance - computed) <= rounding, (size, impedance, computed)
        checked += 1
    assert checked >= 20


@pytest.mark.parametrize("metal", METALS)
def test_resistance_is_that_of_table_8_and_skin_effect(book, metal):
    """In PVC: at small sizes the dc resistance of Table 8, at large ones a little more (skin effect), never less."""
    ac, dc = book.table("ac_impedance"), book.table("conductor_properties")
    column = {"copper": "copper_uncoated_resistance", "aluminum": "aluminum_resistance"}[metal]
    for size in ac.rows:
        resistance = ac.cells[size][f"{metal}_resistance_in_pvc"]
        if resistance is not None:
            direct = dc.at(("stranded", size), column).number
            rounding = last_digit(resistance)
            assert direct - 1.2 * rounding <= resistance <= direct * 1.20 + rounding, (size, resistance, direct)


def test_steel_raises_reactance_by_a_quarter(book):
    table = book.table("ac_impedance")
    for size in table.rows:
        plain, steel = table.cells[size]["reactance_in_pvc_or_aluminum"], table.cells[size]["reactance_in_steel"]
        assert steel / plain == pytest.approx(1.25, abs=0.03), size


def test_resistance_falls_with_size(book):
    table = book.table("ac_impedance")
    assert [ConductorSize(size) for size in table.rows] == sorted(ConductorSize(size) for size in table.rows)
    for column in table.columns:
        numbers = [table.cells[size][column] for size in table.rows if table.cells[size][column] is not None]
        if "resistance" in column or "impedance" in column:
            assert numbers == sorted(numbers, reverse=True), column
