"""What is offered when a busbar does not pass, tried before it is told.

Source: 705.12, 120 percent with source and supply at opposite ends; numbers by hand beside each test.
"""

import copy
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.judgement import Verdict

BASES = Path(__file__).resolve().parents[1] / "bases"


def busbar_finding(base, subject, change, edition="2023"):
    read = read_yaml_file(BASES / f"{base}.yaml")
    data = copy.deepcopy(read.data)
    change(data)
    system = build_project(ReadFile(read.file, read.text, data, read.positions), BASES, edition=edition).system
    return evaluate(system, CodeBook(edition)).by_id[f"busbar-sources:{subject}"]


def forty_amperes(data):
    """40 A of source: 200 + 50 = 250 A on 240 A; the other breakers are too many for the sum of breakers."""
    data["equipment"]["INV1"].update(output="40 A", largest_device="60 A")
    data["equipment"]["MSP"].update(all_breakers_in_file="yes", power_control_monitored="no")
    data["circuits"]["C1"]["overcurrent"]["to_end"]["rating"] = "50 A"
    data["circuits"]["C2"]["overcurrent"]["from_end"]["rating"] = "175 A"


def test_a_smaller_main_and_a_held_source_are_offered():
    finding = busbar_finding("main_panel_with_source", "MSP", forty_amperes)
    assert finding.verdict is Verdict.VIOLATED
    # 240 - 50 = 190 A: the next standard rating below is 175 A; (240 - 200) / 1.25 = 32 A.
    assert finding.suggestions[0] == "175 A at MSP main"
    assert "INV1 held to 32 A by a listed power control system" in finding.suggestions


def test_power_control_is_not_offered_where_the_edition_has_none():
    finding = busbar_finding("main_panel_with_source", "MSP", forty_amperes, edition="2017")
    assert finding.suggestions
    assert not any("power control" in text for text in finding.suggestions)


def test_a_source_less_is_offered_only_where_there_are_several():
    finding = busbar_finding("main_panel_with_source", "MSP", forty_amperes)
    assert not any(text.startswith("without") for text in finding.suggestions)


@pytest.mark.parametrize("edition", ["2020", "2023"])
def test_what_is_offered_passes_when_done(edition):
    """185 A is no standard rating, and 175 A was offered: done by hand in the file, the busbar passes."""

    def done(data):
        forty_amperes(data)
        data["equipment"]["MSP"]["main"]["rating"] = "175 A"

    assert busbar_finding("main_panel_with_source", "MSP", done, edition).verdict is Verdict.PASSES


def in_the_third_space(data):
    """32 A of source: 200 + 40 = 240 A on 240 A at the opposite end; in space 3 beside the main only the sum, 240 A on 200 A, is left."""
    data["equipment"]["MSP"].update(all_breakers_in_file="yes", power_control_monitored="no", spaces="40", supply_end="top")
    data["circuits"]["C1"]["to"] = "MSP.3"
    data["circuits"]["C2"]["from"] = "MSP.8"
    data["circuits"]["C2"]["overcurrent"]["from_end"]["rating"] = "175 A"


def test_a_source_at_the_wrong_end_is_moved_before_anything_is_taken_away():
    """Spaces 37 and 39 are the last two of the left column of 40."""
    finding = busbar_finding("main_panel_with_source", "MSP", in_the_third_space)
    assert finding.verdict is Verdict.VIOLATED
    assert finding.suggestions[0] == "C1 at MSP.3 in space 37, opposite the main"
    ways = {part.method: part for part in finding.judgement.parts}
    assert ways["opposite end, 120 percent"].message.endswith("but C1 at MSP.3 is not at the end opposite the supply")


def test_what_the_move_says_passes_when_done():
    def done(data):
        in_the_third_space(data)
        data["circuits"]["C1"]["to"] = "MSP.37"

    assert busbar_finding("main_panel_with_source", "MSP", done).verdict is Verdict.PASSES


def test_a_load_in_the_last_spaces_leaves_those_beside_it():
    """The load in 37 and 39, the source in 38 and 40: both in the last rows, none beyond the other."""

    def beside(data):
        in_the_third_space(data)
        data["circuits"]["C2"]["from"] = "MSP.37"

    assert busbar_finding("main_panel_with_source", "MSP", beside).suggestions[0] == "C1 at MSP.3 in space 38, opposite the main"


def test_no_move_helps_where_the_sum_itself_is_too_large():
    finding = busbar_finding("main_panel_with_source", "MSP", forty_amperes)
    assert not any("opposite the main" in text for text in finding.suggestions)
