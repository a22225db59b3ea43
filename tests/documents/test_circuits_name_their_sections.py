"""Calculation and schedule say of each circuit which table and which section decided, and say the same.

Sections of NEC 2023, from memory: Table 310.16 ampacities, 310.15(B) ambient, 310.15(C) count, 240.4(B) the next standard rating,
240.4(D) small conductors, 310.12 service and main feeders of a dwelling, 334.80 NM cable at no more than 60 °C.
"""

import re

import pytest

from permitgen.evaluation.review_figures import circuit_figures
from permitgen.package.calculation_job import calculation_of
from permitgen.package.plan_set_job import drawn_plan_set
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.views.circuit_reasons import protected_by
from permitgen.views.reviewer.circuits import circuit_lines
from permitgen.views.schedules import circuit_schedules
from permitgen.views.wording import value_text

SAMPLE = ("demo", "b08_ac_coupled_branches", "b14_generator_inlet")
ABOVE_AMPACITY = ("240.4(B)", "310.12", "240.4(G)", "240.21", "705.28", "310.15(B)(7)", "output", "706.30", "215.2", "240.4(E)", "240.4(F)")


@pytest.fixture(scope="module", params=SAMPLE)
def evaluation(request, projects):
    return projects[request.param].evaluation


def _schedule(evaluation):
    (schedule,) = (each for each in circuit_schedules(evaluation) if each.title == "Conductors")
    return {row[0].removesuffix(" (E)"): dict(zip(schedule.headings, row, strict=True)) for row in schedule.rows}


def test_schedule_and_calculation_say_the_same_of_a_circuit(evaluation):
    rows, compared = _schedule(evaluation), 0
    for line in circuit_lines(evaluation):
        tag = line.tag.removesuffix(" (E)")
        row = rows[tag]
        assert row["V DROP, RISE"] == line.drop
        figures = circuit_figures(evaluation.given, evaluation.system.circuits[tag])
        if figures.ampacity is not None:
            lower = min(figures.ampacity.corrected_a, figures.ampacity.terminal_a, key=lambda value: value.number)
            assert row["AMPACITY"] == value_text(lower)
            assert row["AMPACITY"] in (line.corrected, line.terminal.partition(" at ")[0])
            compared += 1
    assert compared


def test_a_device_above_the_ampacity_says_by_which_section(evaluation):
    """A reviewer does not let 180 A behind 200 A pass without the section that allows it."""
    rows, said = _schedule(evaluation), 0
    for circuit in evaluation.system.circuits.values():
        figures = circuit_figures(evaluation.given, circuit)
        finding = evaluation.by_id[f"conductor-protection:{circuit.tag}"]
        if figures.ampacity is None or finding.verdict is not Verdict.PASSES:
            continue
        ratings = [each.device.rating_a for each in devices_protecting(evaluation.given, circuit) if each.device.rating_a]
        reason = protected_by(evaluation, circuit).text
        assert reason
        assert reason in rows[circuit.tag]["PROTECTED BY"]
        if any(rating.number > figures.ampacity.final_a.number for rating in ratings):
            assert any(section in reason for section in ABOVE_AMPACITY), (circuit.tag, reason)
            said += 1
    assert said or evaluation.system.project.number != "HB-0142"


def test_the_demo_names_the_tables_of_ampacity_and_its_factors(projects):
    section = next(each for each in calculation_of(projects["demo"]).sections if each.circuits)
    for words in ("ampacity Table\u00a0310.16", "ambient Table\u00a0310.15(B)(1)(1)", "count Table\u00a0310.15(C)(1)"):
        assert words in section.note
    rows = {line.tag: line for line in section.circuits}
    assert "240.4(B) next size up; 310.12" in rows["S1"].device
    assert rows["C4"].device.endswith("240.4(D)")
    assert rows["C4"].drop == "in rise of C1"
    assert rows["C1"].drop == "1.23\u00a0% rise over C1, C4, C7"
    index = {entry.section for entry in calculation_of(projects["demo"]).index}
    assert {"Table 310.16", "310.12", "240.4"} <= index


def test_a_cable_that_may_be_no_hotter_says_why(projects):
    """NM cable is taken at 60 °C whatever its terminals are marked: 334.80."""
    held = 0
    for line in circuit_lines(projects["b04_partial_backup"].evaluation):
        if "334.80" in line.terminal:
            assert "at 60\u00a0°C, 334.80" in line.terminal
            held += 1
    assert held


NUMBER = re.compile(r"([\d.]+)\u00a0?\s?(kWh|ft|in)\b")


@pytest.mark.parametrize("name", SAMPLE)
def test_no_sentence_has_the_number_of_another_test_than_its_row(projects, name):
    """Energy and lengths: what a sentence says first in the unit of its row is one of the two numbers of the row."""
    seen = 0
    for section in calculation_of(projects[name]).sections:
        for line in section.lines:
            unit = line.computed.rpartition("\u00a0")[2]
            told = [number for number, of in NUMBER.findall(line.text) if of == unit]
            if told and section.key == "siting":
                numbers = {float(text.partition("\u00a0")[0]) for text in (line.computed, line.limit)}
                assert float(told[0]) in {round(number, 1) for number in numbers} | numbers, line.text
                seen += 1
    assert seen or name != "demo"


def test_a_busbar_that_a_feeder_leaves_at_lugs_says_so(projects):
    """705.12(B) names feed-through conductors: a busbar with load lugs is not told as one that nothing leaves without a breaker."""
    evaluation = projects["demo"].evaluation
    (way,) = (part for part in evaluation.by_id["busbar-sources:MID"].judgement.parts if "feed-through" in part.message)
    assert "F1 leaves at load lugs, which HP main, 200 A limits" in way.message
    (other,) = (part for part in evaluation.by_id["busbar-sources:PVC"].judgement.parts if "feed-through" in part.message)
    assert "leaves at load lugs" not in other.message


def test_the_plan_set_prints_why(projects):
    from permitgen.documents.canvas.bounds import placed_boxes
    from permitgen.documents.canvas.shapes import Text

    sheets = drawn_plan_set(projects["demo"])[1].drawings
    said = [" ".join(shape.text for shape, _ in placed_boxes(sheet.shapes) if isinstance(shape, Text)) for sheet in sheets]
    assert any("PROTECTED BY" in text and "240.4(B)" in text and "310.12" in text for text in said)
