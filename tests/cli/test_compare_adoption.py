"""``compare --editions 2023 2026``: the sheet for the day on which an edition is adopted whose text was not read for this program."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.evaluation.unread_edition import sizes_as_reported
from permitgen.project.load import load_project
from permitgen.views.adoption import AdoptionSheet, adoption_sheet_of
from tests.cli.in_process import run

HERE = Path(__file__).resolve().parent
DEMO = HERE.parents[1] / "demo_project" / "project.yaml"
TOPOLOGIES = HERE.parent / "topologies"
GRADES = {"text read", "reported", "not read", "number reported, text reported", "number reported, text not read"}


@cache
def evaluated(file: Path, edition: int) -> Evaluation:
    return evaluate(load_project(file).system, CodeBook(edition), with_suggestions=False)


@cache
def sheet_of(file: Path, before: int = 2023) -> AdoptionSheet:
    sizes = sizes_as_reported(load_project(file).system, CodeBook(2026))
    return adoption_sheet_of(evaluated(file, before), evaluated(file, 2026), sizes)


def test_the_command_prints_one_page_whose_every_line_is_graded():
    result = run("compare", DEMO, "--editions", "2023", "2026")
    assert result.returncode == 0
    assert len(result.stdout.splitlines()) < 110
    assert "The text of NEC 2026 was not read for this program." in result.stdout
    assert "0 new FAILS" in result.stdout


@pytest.mark.parametrize("name", ["b02_pv_supply_side", "b11_detached_building", "b25_duplex"])
def test_every_line_says_how_it_is_known_and_by_whom(name):
    sheet = sheet_of(TOPOLOGIES / f"{name}.yaml")
    for part in (sheet.results, sheet.changed, sheet.relaxed, sheet.by_hand, sheet.moved):
        for line in part:
            assert line.grade in GRADES, line
            assert line.source, line
    assert sheet.changed
    assert sheet.moved


@pytest.mark.parametrize("name", ["b02_pv_supply_side", "b14_generator_inlet"])
def test_what_came_with_an_edition_between_names_the_section_of_the_edition_read_last(name):
    """215.18 and 230.71(B), for example, are of 2020 and 2023: nothing is reported of them for 2026, and 2017 had no such requirement."""
    results = sheet_of(TOPOLOGIES / f"{name}.yaml", 2017).results
    assert results
    for line in results:
        assert re.search(r"\(by (NEC 2023 )?\d{2,3}\.\d", line.says), line
    assert any("(by NEC 2023 230.71" in line.says for line in results)


def test_what_moves_is_what_the_sources_say():
    """220 to 120: Electrical License Renewal, change page 1841 (2026); 230.85 into 230.70: page 1878."""
    pairs = "; ".join(line.about for line in sheet_of(DEMO).moved)
    for pair in ("220.41 → 120.41", "220.82 → 120.82", "220.57 → 120.57", "230.85 → 230.70"):
        assert pair in pairs
    assert not re.search(r"→ [^;]*\b(220|750)\.", pairs)


def test_the_demo_house_by_the_reported_optional_method():
    """By hand, 120.82 as reported (8 kVA, 2 VA/ft², charging equipment whole) against 220.82 (10 kVA, 3 VA/ft², among the rest).

    2000 VA leave the whole tier for 40 percent; the floor area counts 1 VA/ft² less, at 40 percent; the 11 520 VA of charging (48 A at
    240 V) count whole in place of 40 percent (EC&M, top changes 2025; for charging a digest of two summaries).
    """
    system = evaluated(DEMO, 2023).system
    area = system.site.floor_area_ft2
    assert area is not None
    more_a = (-0.6 * 2000 + 0.6 * 48 * 240 - 0.4 * area.number) / 240
    (line,) = (line for line in sheet_of(DEMO).results if line.about.startswith("UTIL: "))
    before, after = (float(number) for number in re.findall(r"([\d.]+) A [≤>]", line.says.replace("\u00a0", " ")))
    assert after - before == pytest.approx(more_a, abs=0.02)
    assert line.says.endswith("2026 NOT CHECKED (by 120.57, 120.41, 120.82)")


def test_from_an_older_edition_too():
    assert any("230.85" in line.about for line in sheet_of(DEMO, 2020).moved)


def test_a_new_violation_as_reported_is_counted():
    """Service disconnect indoors: 230.70(A)(1) as reported (Electrical License Renewal, change page 1878)."""
    system = load_project(DEMO).system
    item = system.equipment["MID"]
    assert item.place is not None
    indoors = system.with_equipment(replace(item, place=replace(item.place, outdoors=False)))
    before, after = (evaluate(indoors, CodeBook(edition), with_suggestions=False) for edition in (2023, 2026))
    sheet = adoption_sheet_of(before, after, sizes_as_reported(indoors, CodeBook(2026)))
    assert sheet.new_violations == 1
    assert "as reported FAILS; 2026 FAILS (by 230.70(A)(1))" in sheet.results[0].says


@pytest.mark.parametrize(("edition", "grades"), [("2023", {"text read", "source not recorded"}), ("2026", {"reported", "not read"})])
def test_findings_as_data_carry_their_grade(edition, grades):
    found = run("check", DEMO, "--edition", edition, "--format", "json")
    findings = json.loads(found.stdout)["findings"]
    assert grades <= {each["grade"] for each in findings}
    assert all(each["text_source"] for each in findings if each["grade"] in ("text read", "reported"))
    sarif = run("check", DEMO, "--edition", edition, "--format", "sarif")
    results = json.loads(sarif.stdout)["runs"][0]["results"]
    assert results
    assert all(each["properties"]["grade"] for each in results)
