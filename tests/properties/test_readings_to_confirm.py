"""A disputed reading that decided is a caution with both answers, until the department's answer decides; the sheet asks for it.

Island capacity: 702.4(B)(2) of 2017, (A)(2) of 2023, read for automatic transfer, asks for the full load; 710.15(A), 2023 with 705.80, for
the largest single load (from memory). Next size up for a feeder with a source: 240.4(B) against 705.12(B)(1)(b) of 2023 (from memory).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from permitgen.documents.plan_set import plan_sheets
from permitgen.documents.sheets.legend_sheet import texts_of
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_of
from permitgen.package.standing import standing_of_project
from permitgen.reading.problems import ProblemsError
from permitgen.rules.judgement import Verdict
from permitgen.views.readings_to_confirm import readings_to_confirm_of
from tests.properties.houses import ROOT
from tests.reading_paper import put_reading

HOUSE = (ROOT / "tests/topologies/b03_whole_home.yaml").read_text("utf-8")
CONFIRMED = re.search(r"confirmed: \[\{.*?\}\]", HOUSE)[0]
ID = "backup-capacity:islanded"
WORDS = "confirmed by Ida Moor, Building Department, 2026-02-03 (reading.pdf)"


@pytest.fixture
def tmp_path(same_place):
    return same_place


def house(folder: Path, instead: str) -> Path:
    """The house with another statement in the place of its confirmed reading."""
    put_reading(folder)
    (folder / "project.yaml").write_text(HOUSE.replace(CONFIRMED, instead), "utf-8")
    return folder


def test_a_lenient_reading_that_decided_is_a_caution_with_both_answers(tmp_path):
    opened = open_project(house(tmp_path, "options: {backup_capacity_basis: largest load}"))
    finding = opened.evaluation.by_id[ID]
    assert finding.verdict is Verdict.CAUTION
    assert finding.judgement.message.endswith(
        "; disputed, backup capacity basis: largest load passes by NEC 2023 710.15(A), 705.80, "
        "full calculated load violated by NEC 2023 702.4(A)(2)"
        "; jurisdiction: confirmed: backup_capacity_basis settles it"
    )
    assert "Local interpretation: backup sources sized for the largest single load (to be confirmed, sheet G-003)" in (
        plan_set_of(opened).cover.codes
    )


def test_the_strict_reading_stays_violated_and_says_what_settles_it(tmp_path):
    opened = open_project(house(tmp_path, "options: {}"))
    finding = opened.evaluation.by_id[ID]
    assert finding.verdict is Verdict.VIOLATED
    assert "largest load passes by NEC 2023 710.15(A), 705.80" in finding.judgement.message
    assert ID in standing_of_project(opened).gate("permit").violated
    assert "Read strictly: backup capacity basis (to be confirmed, sheet G-003)" in plan_set_of(opened).cover.codes


@pytest.mark.parametrize(("answer", "verdict"), [("largest load", Verdict.PASSES), ("full calculated load", Verdict.VIOLATED)])
def test_the_answer_of_the_department_decides_and_is_named(answer, verdict, tmp_path):
    opened = open_project(house(tmp_path, CONFIRMED.replace("answer: largest load", f"answer: {answer}")))
    finding = opened.evaluation.by_id[ID]
    assert finding.verdict is verdict
    assert finding.judgement.message.endswith(f"; backup_capacity_basis read as {answer}, {WORDS}")
    assert any(line.startswith("Local interpretation: ") and line.endswith(WORDS) for line in plan_set_of(opened).cover.codes)
    assert "reading.pdf" in opened.inputs


def test_the_sheet_asks_with_boxes_and_shows_what_was_answered(tmp_path):
    asked = open_project(house(tmp_path, "options: {backup_capacity_basis: largest load}"))
    (reading,) = readings_to_confirm_of(asked.evaluation)
    assert [(row.words.partition(":")[0], row.outcome, row.is_marked) for row in reading.answers] == [
        ("full calculated load", "FAILS by NEC 2023 702.4(A)(2): islanded", False),
        ("largest load", "passes by NEC 2023 710.15(A), 705.80: islanded", False),
    ]
    sheet = next(drawing for drawing in plan_sheets(plan_set_of(asked)).drawings if "G-003" in drawing.home_of)
    words = " ".join(texts_of(sheet.shapes))
    assert all(said in words for said in ("NAME AND SIGNATURE", "OFFICE", "DATE", "full calculated load", "705.80", "Read in this set as"))
    answered = open_project(house(tmp_path, CONFIRMED))
    (reading,) = readings_to_confirm_of(answered.evaluation)
    assert [row.is_marked for row in reading.answers] == [False, True]
    assert (reading.assumed, reading.confirmed) == ("", WORDS)


@pytest.mark.nightly
def test_no_sheet_where_no_verdict_turns_on_a_reading():
    opened = open_project(ROOT / "tests/topologies/b24_ground_mount.yaml")
    assert readings_to_confirm_of(opened.evaluation) == ()
    assert "G-003" not in {drawing.name.number for drawing in plan_sheets(plan_set_of(opened)).drawings}


def test_a_reading_that_only_a_way_of_several_asks_for_is_found():
    """The feed-through method of the meter main fails by its busbars and passes by the words alone (705.12(B)(6) of 2023, from memory)."""
    finding = open_project(ROOT / "tests/topologies/b15_meter_main.yaml").evaluation.by_id["busbar-sources:MM"]
    assert finding.verdict is Verdict.VIOLATED
    assert [(each.reading, [(a.choice, str(a.verdict)) for a in each.answers]) for each in finding.readings] == [
        ("feed_through_busbar_alone", [("no", "violated"), ("yes", "passes")])
    ]


@pytest.mark.parametrize(
    ("instead", "message"),
    [
        (CONFIRMED.replace("backup_capacity_basis", "backup_capacity_bases"), 'no reading is called "backup_capacity_bases"; did you mean'),
        (CONFIRMED.replace("backup_capacity_basis", "diagram"), 'no reading is called "diagram"'),
        (CONFIRMED.replace("largest load", "largest loads"), '"largest loads" is not one of: full calculated load, largest load; did you'),
        (CONFIRMED.replace("reading.pdf", "readings.pdf"), 'there is no file "readings.pdf"'),
        (
            f"{CONFIRMED}, options: {{backup_capacity_basis: full calculated load}}",
            '"largest load" was confirmed and options state "full calculated load"; expected the confirmed answer, or no option',
        ),
        (CONFIRMED.replace("}]", "}, ") + CONFIRMED.partition("[")[2], "backup_capacity_basis is confirmed twice; expected one answer"),
        (CONFIRMED.replace("by: Ida Moor, ", ""), "by"),
    ],
)
def test_an_answer_to_nothing_is_refused(instead, message, tmp_path):
    with pytest.raises(ProblemsError) as caught:
        open_project(house(tmp_path, instead))
    assert message in str(caught.value)
