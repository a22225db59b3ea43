"""A figure that two papers state differently: both are judged, the worse verdict counts, and it says on which figure it turns.

Sources of the figures: 110.9 (a breaker of 10 kA may interrupt 10 kA); NEC chapter 9, table 8 (2023): 4/0 AWG aluminum 0.100 ohm per
1000 ft. Through 40 ft and back, 0.008 ohm, a source of 9 kA (240 V: 0.0267 ohm) gives at most 9 kA, one of 25 kA (0.0096 ohm) at least
240 V / (0.0096 + 0.0080 ohm) = 13.6 kA; through 400 ft none gives more than 240 V / 0.080 ohm = 3.0 kA. All by hand.
"""

from __future__ import annotations

import copy
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.disputed_figures import figures_of
from permitgen.project.load import build_project, load_project
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.judgement import Verdict
from permitgen.views.explanation import steps_of

BASE = Path(__file__).resolve().parents[1] / "rules" / "bases" / "one_branch.yaml"
LETTER = "utility letter of 2026-02-11"
MAP = "utility web map, 2026-03"
FAULT = ("equipment", "UTIL", "available_fault_current")
LENGTH = ("raceways", "R0", "length")
Facts = dict[tuple[str, ...], Any]


def evaluated(facts: Facts, *, suggesting: bool = False) -> Evaluation:
    file = read_yaml_file(BASE)
    data: dict[str, Any] = copy.deepcopy(file.data)
    for path, value in facts.items():
        held = data
        for step in path[:-1]:
            held = held[step]
        held[path[-1]] = value
    if isinstance(facts.get(FAULT), dict) and (*FAULT[:2], "fault_current_source") not in facts:
        del data["equipment"]["UTIL"]["fault_current_source"]
    system = build_project(ReadFile(file.file, file.text, data, file.positions), BASE.parent).system
    return evaluate(system, CodeBook(2023), with_suggestions=suggesting)


def refused(facts: Facts) -> str:
    with pytest.raises(ProblemsError) as found:
        evaluated(facts)
    problems = found.value.problems
    assert all(problem.line > 0 for problem in problems)
    return "; ".join(problem.message for problem in problems)


def test_the_worse_of_two_sources_counts() -> None:
    for order in ({"9 kA": LETTER, "25 kA": MAP}, {"25 kA": MAP, "9 kA": LETTER}):
        judgement = evaluated({FAULT: order}).by_id["interrupting-rating:MSP.2"].judgement
        assert judgement.verdict is Verdict.VIOLATED
        assert judgement.computed is not None
        assert judgement.computed.number > 13.5
        assert "turns on equipment.UTIL.available_fault_current: " in judgement.message
        assert f"9 kA ({LETTER}) passes" in judgement.message
        assert f"25 kA ({MAP}) violated" in judgement.message


def test_each_source_alone_is_a_reading() -> None:
    """Two sources never give a verdict that neither of them gives alone, and no better one than either."""
    both = evaluated({FAULT: {"9 kA": LETTER, "25 kA": MAP}}).by_id
    alone = [evaluated({FAULT: text}).by_id for text in ("9 kA", "25 kA")]
    for id_, finding in both.items():
        verdicts = {each[id_].verdict for each in alone}
        assert finding.verdict in verdicts
        assert finding.verdict is Verdict.VIOLATED or Verdict.VIOLATED not in verdicts
        assert ("turns on" in finding.judgement.message) == (len(verdicts) > 1)


def test_where_both_pass_the_nearer_to_the_limit_is_shown_and_both_stand_under_assumptions() -> None:
    evaluation = evaluated({FAULT: {"6 kA": LETTER, "9 kA": MAP}})
    judgement = evaluation.by_id["interrupting-rating:MSP.2"].judgement
    assert judgement.verdict is Verdict.PASSES
    assert "turns on" not in judgement.message
    assert judgement.computed is not None
    assert 6 < judgement.computed.number <= 9
    (told,) = (each for each in evaluation.system.assumptions if each.title == "equipment.UTIL.available_fault_current")
    assert told.taken == f"6 kA ({LETTER}), 9 kA ({MAP})"
    assert any(MAP in str(step) for step in steps_of(judgement.all_values()))


def test_two_figures_are_judged_in_all_combinations() -> None:
    facts: Facts = {FAULT: {"9 kA": LETTER, "25 kA": MAP}, LENGTH: {"40 ft": "tape of 2026-05-11", "400 ft": "letter of 2026-05-04"}}
    judgement = evaluated(facts).by_id["interrupting-rating:MSP.2"].judgement
    assert judgement.verdict is Verdict.VIOLATED
    assert "turns on equipment.UTIL.available_fault_current and raceways.R0.length: " in judgement.message
    assert f"25 kA ({MAP}) with 40 ft (tape of 2026-05-11) violated" in judgement.message
    assert f"25 kA ({MAP}) with 400 ft (letter of 2026-05-04) passes" in judgement.message


def test_a_figure_that_does_not_matter_is_not_said_to() -> None:
    facts: Facts = {FAULT: {"9 kA": LETTER, "25 kA": MAP}, ("raceways", "R1", "length"): {"60 ft": "tape", "61 ft": "plan"}}
    message = evaluated(facts).by_id["interrupting-rating:MSP.2"].judgement.message
    assert "R1" not in message
    assert message.endswith(f"9 kA ({LETTER}) passes, 25 kA ({MAP}) violated")


def test_sizes_hold_by_every_source() -> None:
    """32 A of load in 70 °C: table 310.16 and 310.15(B)(1), 90 °C copper: 8 AWG 55 A x 0.58 = 31.9 A, 6 AWG 75 A x 0.58 = 43.5 A."""
    open_size = {"insulation": "THWN-2", "neutral": "no"}
    sizes = {}
    for ambient in ("30 °C", "70 °C", {"30 °C": "plan", "70 °C": "thermometer"}):
        found = evaluated({("raceways", "R1", "ambient"): ambient, ("circuits", "C1", "conductors"): open_size})
        sizes[str(ambient)] = found.system.circuits["C1"].conductors.size
        assert found.by_id["conductor-ampacity:C1"].verdict is Verdict.PASSES
    cool, hot, both = sizes.values()
    assert cool is not None
    assert hot is not None
    assert cool < hot
    assert both == hot


def test_one_value_with_its_source_is_the_value() -> None:
    plain, named = evaluated({FAULT: "9 kA"}), evaluated({FAULT: {"9 kA": LETTER}})
    assert {id_: f.judgement.message for id_, f in plain.by_id.items()} == {id_: f.judgement.message for id_, f in named.by_id.items()}
    assert named.system.readings == ()
    steps = steps_of(named.by_id["interrupting-rating:MSP.2"].judgement.all_values())
    assert any(LETTER in str(step) for step in steps), "who states it stands where the number comes from"


def test_every_kind_of_figure_may_have_sources() -> None:
    evaluation = evaluated(
        {
            ("site", "floor_area"): {"1850 ft²": "assessor", "1900 ft²": "tape"},
            ("equipment", "MSP", "main", "interrupting_rating"): {"22 kA": "label", "10 kA": "data sheet"},
            ("equipment", "MSP", "terminals", "main", "conductors"): {"1": "label", "2": "data sheet"},
            ("site", "climate", "record_low"): {"-20 °C": "station", "-18 °C": "table"},
        }
    )
    assert len(evaluation.system.readings) == 16


def test_more_combinations_than_are_judged_are_refused() -> None:
    facts: Facts = {("raceways", "R0", "cover"): {"24 in": "plan", "26 in": "tape"}}
    facts |= {("raceways", "R1", "length"): {"60 ft": "plan", "61 ft": "tape"}}
    facts |= {LENGTH: {"1 ft": "a", "2 ft": "b", "3 ft": "c"}, FAULT: {"9 kA": LETTER, "25 kA": MAP}}
    message = refused(facts)
    assert "make 24 combinations; expected 16 at most" in message
    assert "raceways.R0.length" in message


def test_a_source_is_told_in_one_place() -> None:
    message = refused({FAULT: {"9 kA": LETTER, "25 kA": MAP}, ("equipment", "UTIL", "fault_current_source"): LETTER})
    assert "expected no fault_current_source beside it" in message


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ({}, "expected a value, or values each with its source"),
        ({"9 kA": ""}, '"9 kA" names no source'),
        ({"9 kA": ["a", "b"]}, '"9 kA" names no source'),
        ({"unknown": LETTER}, '"unknown" is no figure'),
        ({"9 ft": LETTER}, "9 ft"),
        ({LETTER: "9 kA"}, LETTER),
    ],
)
def test_what_is_no_figure_by_its_source_is_refused(value: object, words: str) -> None:
    assert words in refused({FAULT: value})


DEMO = Path(__file__).resolve().parents[2] / "demo_project"
PARTS = 60


@lru_cache
def figures_of_the_demo() -> tuple[tuple[tuple[str | int, ...], str], ...]:
    """Every figure that stands in the demo's file, with its text; equipment has those of its catalog entry too."""
    loaded = load_project(DEMO)
    found = []
    for location, figure in figures_of(loaded.models):
        held: Any = loaded.file.data
        for step in location:
            held = held.get(step) if isinstance(held, dict) else held[step] if isinstance(held, list) else None
        if held == figure.spelled:
            found.append((location, figure.spelled))
    return tuple(found)


def test_the_demo_has_figures_of_every_section() -> None:
    assert {location[0] for location, _ in figures_of_the_demo()} >= {"site", "catalog", "equipment", "raceways", "circuits", "loads"}
    assert len(figures_of_the_demo()) > 250


@pytest.mark.sample(every=60)
@pytest.mark.parametrize("part", range(PARTS))
def test_a_figure_told_twice_alike_is_the_figure(part: int) -> None:
    """Wherever a figure stands, two sources that state the same give the same system by both readings, and the same findings."""
    loaded = load_project(DEMO)
    file = loaded.file  # the devices of its directories stand at their circuits
    code = CodeBook(2023)
    base = {f.id: (f.verdict, f.judgement.message) for f in evaluate(loaded.system, code, with_suggestions=False).findings}
    for index, (location, text) in enumerate(figures_of_the_demo()[part::PARTS]):
        data: Any = copy.deepcopy(file.data)
        held = data
        for step in location[:-1]:
            held = held[step]
        again = text.replace(" ", "", 1) if " " in text else f"0{text}"
        held[location[-1]] = {text: "one", again: "other"}
        if location[0] == "equipment" and location[-1] == "available_fault_current":
            held.pop("fault_current_source", None)
        system = build_project(ReadFile(file.file, file.text, data, file.positions), DEMO).system
        assert [len(reading.stated) for reading in system.readings] == [1, 1], location
        if index == 0:
            found = evaluate(system, code, with_suggestions=False)
            assert {f.id: (f.verdict, f.judgement.message) for f in found.findings} == base, location
