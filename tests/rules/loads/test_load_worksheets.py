"""Worksheets carry every row of the code's own examples, and nothing is lost between rows and total."""

from __future__ import annotations

import copy
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.sizing import size_everything
from permitgen.project.load import build_project, load_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.given import Given
from permitgen.rules.quantities.load_worksheets import load_worksheets
from permitgen.values.origin import Assumed, FromSystem, ProjectLine, ProvisionField, TableCell

ROOT = Path(__file__).resolve().parents[3]
BASES = ROOT / "tests" / "rules" / "bases"


def worksheets(base, changes=None, edition="2023"):
    read = read_yaml_file(BASES / f"{base}.yaml")
    data = copy.deepcopy(read.data)
    for section, entries in (changes or {}).items():
        data[section] = entries
    system = build_project(ReadFile(read.file, read.text, data, read.positions), BASES, edition=edition).system
    given, _ = size_everything(Given(system, CodeBook(edition)))
    return {sheet.subject: sheet for sheet in load_worksheets(given)}


def rows(sheet, method):
    calculation = next(found for found in sheet.calculations if found.method == method)
    return calculation, {row.description: (row.load_va.number, row.demand_va.number if row.demand_va else None) for row in calculation.rows}


def test_annex_d1a_row_by_row():
    """NEC Annex D, Example D1(a), as printed in the Pocket Guide to the NEC 2005, 8th ed.: 9000 VA general, 5100 VA demand, 18 600 VA."""
    sheet = worksheets("dwelling_loads")["MSP"]
    calculation, found = rows(sheet, "standard method")
    assert found == {
        "General lighting, 1500 ft²": (4500, None),
        "Small-appliance branch circuits, 2 × 1500 VA": (3000, None),
        "Laundry branch circuits, 1 × 1500 VA": (1500, None),
        "Lighting demand": (9000, 5100),
        "Cooking: Range": (12000, 8000),
        "Clothes dryer": (5500, 5500),
    }
    assert calculation.demand_va.number == 18600
    assert sheet.capacity_a.number == 200


def test_annex_d2c_row_by_row():
    """NEC Annex D, Example D2(c): 33 200 VA general, 19 280 VA demand, heat pump and supplementary heat 15 510 VA, 34 790 VA."""
    loads = {
        "K1": {"name": "Range", "panel": "MSP", "category": "cooking", "power": "12 kW"},
        "K2": {"name": "Water heater", "panel": "MSP", "category": "water heater", "power": "4.5 kW"},
        "K3": {"name": "Dishwasher", "panel": "MSP", "category": "fixed appliance", "power": "1.2 kW", "leg": "L1"},
        "K4": {"name": "Dryer", "panel": "MSP", "category": "dryer", "power": "5 kW"},
        "P1": {"name": "Heat pump", "panel": "MSP", "category": "heat pump", "current": "24 A", "leg": "both"},
        "H1": {"name": "Backup heat", "panel": "MSP", "category": "supplemental heat", "power": "15 kW"},
    }
    site = {"dwelling": "one-family", "floor_area": "2000 ft²", "climate": {"design_high": "30 °C"}}
    calculation, found = rows(worksheets("dwelling_loads", {"loads": loads, "site": site})["MSP"], "optional method")
    assert found["First 10 kVA whole, the rest at 40 %"] == (33200, 19280)
    assert found["Heating or cooling, the larger: Heat pump, Backup heat"][1] == pytest.approx(15510)
    assert calculation.demand_va.number == pytest.approx(34790)


@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
def test_the_demo_house_adds_up(edition):
    """Each total is the sum of its rows' demands, and every number ends in the file, the code, the graph or a stated assumption."""
    system = load_project(ROOT / "demo_project", edition=edition).system
    given, _ = size_everything(Given(system, CodeBook(edition)))
    sheets = load_worksheets(given)
    assert [sheet.subject for sheet in sheets] == ["MID", "F1", "islanded", "on the generator"]
    for sheet in sheets:
        assert not sheet.missing
        for calculation in sheet.calculations:
            total = sum(row.demand_va.number for row in calculation.rows if row.demand_va is not None)
            assert calculation.demand_va.number == pytest.approx(total)
            assert calculation.current_a.number == pytest.approx(total / 240)
            for leaf in calculation.current_a.leaves():
                assert isinstance(leaf.origin, ProjectLine | TableCell | ProvisionField | Assumed | FromSystem)


def test_the_demo_house_by_hand():
    """2100 ft²; 10 800 VA general; the optional method: 10 000 + 0.4 × 33 320 + 4300 heat pump + 1.25 × 9600 charging = 39 628 VA."""
    system = load_project(ROOT / "demo_project", edition="2023").system
    given, _ = size_everything(Given(system, CodeBook("2023")))
    calculation, found = rows(load_worksheets(given)[0], "optional method")
    general = 2100 * 3 + 3000 + 1500 + 11000 + 5000 + 2400 + 1200 + 800 + 600 + 48 * 240
    assert found["First 10 kVA whole, the rest at 40 %"] == (general, 10000 + 0.4 * (general - 10000))
    assert calculation.demand_va.number == pytest.approx(39628)


def test_a_missing_fact_is_named_and_no_number_is_printed():
    site = {"dwelling": "one-family", "climate": {"design_high": "30 °C"}}
    sheet = worksheets("dwelling_loads", {"site": site})["MSP"]
    assert sheet.calculations == ()
    assert "floor area of the dwelling" in sheet.missing
