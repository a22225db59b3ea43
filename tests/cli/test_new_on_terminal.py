"""``permitgen new`` on a terminal: what is offered can be had, nothing that was typed is lost, and people type as on paper."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner, Result

from permitgen.cli import new as new_command
from permitgen.cli.main import cli
from permitgen.project.starting.answers import WRITTEN_AS, Answer, read_answer
from permitgen.project.starting.conditions import all_hold
from permitgen.project.starting.declarations import Question, questions
from permitgen.project.starting.fitting import choices_left
from permitgen.project.starting.meant import MeantError
from permitgen.project.starting.new_project import layout_messages
from tests.cli.new_houses import HOUSES, STRING_INVERTER, answers_of


@pytest.fixture(autouse=True)
def _on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(new_command, "_is_on_terminal", lambda: True)


def _typed(folder: Path, answers: Mapping[str, Any], *lines: str) -> Result:
    file = folder / "told.yaml"
    file.write_text(json.dumps(dict(answers)), "utf-8")
    given = "".join(f"{line}\n" for line in lines)
    return CliRunner().invoke(cli, ["new", str(folder / "house"), "--answers", str(file)], input=given)


def _without(*keys: str) -> dict[str, Any]:
    return {key: value for key, value in answers_of(STRING_INVERTER).items() if key not in keys}


def _read(file: Path) -> Any:
    return yaml.load(file.read_text("utf-8"), Loader=yaml.CBaseLoader)


# Neither changes what else can be chosen: no refusal speaks of a charger, nor of the other structures.
_LEFT_OUT = ("vehicle charger", "shed", "barn", "other")


def _ways(question: Question, answers: Mapping[str, Answer]) -> Iterator[Answer]:
    offered = [choice for choice in choices_left(question, answers) if choice not in _LEFT_OUT]
    if question.reads != "several":
        yield from (read_answer(question, choice) for choice in offered)
        return
    for number in range(1, 2 ** len(offered)):
        chosen = [choice for index, choice in enumerate(offered) if number >> index & 1]
        if all(len([choice for choice in chosen if choice in row]) < 2 for row in question.apart):
            yield read_answer(question, ", ".join(chosen))


def _layouts(rest: list[Question], answers: dict[str, Answer]) -> Iterator[dict[str, Answer]]:
    """Every row of offered choices, question after question."""
    if not rest:
        yield answers
    elif not all_hold(rest[0].when, answers):
        yield from _layouts(rest[1:], answers)
    else:
        ways = list(_ways(rest[0], answers))
        assert ways, f"{rest[0].key} offers nothing after {[(key, answer.words) for key, answer in answers.items()]}"
        for way in ways:
            yield from _layouts(rest[1:], {**answers, rest[0].key: way})


def test_no_row_of_offered_choices_is_refused_or_ends_in_nothing_to_choose() -> None:
    shaping = [question for question in questions().values() if question.choices and not question.is_later]
    count = 0
    for answers in _layouts(shaping, {}):
        assert layout_messages({}, answers) == []
        count += 1
    assert count > 1000


def test_a_choice_that_cannot_be_is_not_offered_and_its_refusal_is_told_at_the_question(tmp_path: Path) -> None:
    """Microinverters have no PV disconnect in these layouts, so it starts no rapid shutdown."""
    answers = {key: value for key, value in answers_of("b08_ac_coupled_branches").items() if key != "shutdown_by"}
    done = _typed(tmp_path, answers, "PV disconnect", "service disconnect")
    assert done.exit_code == 0, done.output
    assert ". PV disconnect:" not in done.output
    assert "microinverters have no PV disconnect here" in done.output


@pytest.mark.parametrize("name", HOUSES)
def test_what_follows_from_the_answers_so_far_is_not_asked(name: str) -> None:
    """A question with one choice left is none."""
    answers: dict[str, Answer] = {}
    for key, given in answers_of(name).items():
        question = questions()[key]
        if question.choices and question.reads != "several":
            assert given in choices_left(question, answers)
        answers[key] = read_answer(question, given)


def test_ctrl_c_keeps_the_answers_and_they_are_taken_up_again(tmp_path: Path) -> None:
    answers = _without("address", "town", "panel_busbar", "fault_current")
    done = _typed(tmp_path, answers, "4 Quill Lane: rear", "Tarnmoor")  # the end of the input stops as Ctrl-C does
    kept = tmp_path / "house.answers.yaml"
    assert done.exit_code != 0
    assert not (tmp_path / "house").exists()
    assert f"--answers {kept}" in done.output
    assert _read(kept) == {**answers, "address": "4 Quill Lane: rear", "town": "Tarnmoor"}
    again = CliRunner().invoke(
        cli, ["new", str(tmp_path / "house"), "--answers", str(kept)], input="{8.4 kA: utility letter of 2026-02-11}\n200\n"
    )
    assert again.exit_code == 0, again.output
    assert _read(tmp_path / "house" / "project.yaml")["project"]["address"] == "4 Quill Lane: rear"


def test_a_file_that_stands_there_is_not_written_over_by_what_is_kept(tmp_path: Path) -> None:
    (tmp_path / "house.answers.yaml").write_text("job: mine\n", "utf-8")
    _typed(tmp_path, _without("address", "town"), "4 Quill Lane")
    assert (tmp_path / "house.answers.yaml").read_text("utf-8") == "job: mine\n"
    assert _read(tmp_path / "house.answers-2.yaml")["address"] == "4 Quill Lane"


def test_what_is_kept_goes_when_the_project_is_written(tmp_path: Path) -> None:
    done = _typed(tmp_path, _without("town"), "Tarnmoor")
    assert done.exit_code == 0, done.output
    assert list(tmp_path.glob("*.answers*")) == []


def test_what_the_file_as_a_whole_refuses_is_asked_again(tmp_path: Path) -> None:
    """A place beyond the end of its wall is seen when the file is built, after the last question."""
    done = _typed(tmp_path, _without("panel_at"), "house right, 70 ft from front corner", "house right, 7 ft from front corner")
    assert done.exit_code == 0, done.output
    assert _read(tmp_path / "house" / "project.yaml")["equipment"]["MSP"]["place"]["distance"] == "7 ft"


def test_back_leads_to_the_question_before_and_enter_keeps_what_was_said(tmp_path: Path) -> None:
    lines = ("back", "4 Quill Lane", "back", "", "Tarnmor", "back", "Tarnmoor", "200")
    done = _typed(tmp_path, _without("address", "town", "panel_busbar"), *lines)
    assert done.exit_code == 0, done.output
    assert "this is the first question" in done.output
    read = _read(tmp_path / "house" / "project.yaml")
    assert (read["project"]["address"], read["jurisdiction"]["name"]) == ("4 Quill Lane", "Tarnmoor")


def test_another_house_after_a_way_back_leaves_no_answer_of_the_first(tmp_path: Path) -> None:
    answers = {key: value for key, value in answers_of("b14_generator_inlet").items() if key not in ("service", "what")}
    done = _typed(tmp_path, answers, "microinverters, portable", "house", "back", "back", "portable", "meter and main panel")
    assert done.exit_code == 0, done.output
    text = (tmp_path / "house" / "project.yaml").read_text("utf-8")
    assert "PV1" not in text
    assert "solar_on" not in text


def test_choices_are_picked_by_number_and_by_a_word_of_one_alone(tmp_path: Path) -> None:
    done = _typed(tmp_path, _without("shutdown_by", "solar_joins"), "ahead", "2", "service equipment", "2 ft", "unknown", "unknown")
    assert done.exit_code == 0, done.output
    read = _read(tmp_path / "house" / "project.yaml")
    assert "T1" in read["circuits"]
    assert read["equipment"]["PVD"]["role"] == ["service equipment", "rapid shutdown initiator"]


@pytest.mark.parametrize(
    ("key", "typed", "meant"),
    [
        ("panel_busbar", "200", "200 A"),
        ("panel_main", "200", "200 A"),
        ("panel_main", "2P 200", "2P 200 A"),
        ("inverter_dc_voltage", "600", "600 V"),
        ("generator_voltage", "120/240 V", "240 V"),
        ("generator_voltage", "120/240", "240 V"),
        ("battery_energy", "10", "10 kWh"),
        ("floor_area", "2,100", "2100 ft²"),
        ("front_faces", "180", "180°"),
        ("module_power", "410", "410 W"),
        ("solar_run_length", "15", "15 ft"),
        ("electrode_conductor", "6", "6 AWG"),
        ("service_existing", "y", "yes"),
        ("mid_switches_neutral", "N", "no"),
        ("edition", "NEC 2023", "2023"),
    ],
)
def test_a_number_alone_is_in_the_unit_of_its_question(key: str, typed: str, meant: str) -> None:
    assert read_answer(questions()[key], typed).value == meant


@pytest.mark.parametrize(
    ("key", "typed", "readings"),
    [
        ("record_low", "13", ("13 °F", "13 °C")),
        ("fault_current", "10,000", ("10000 kA", "10000 A")),
        ("inverter_power", "7.6", ("7.6 W", "7.6 kW")),
        ("module_length", "67.8", ("67.8 in", "67.8 mm")),
        ("electrode_conductor", "4", ("4 AWG", "4/0 AWG")),
        ("lot_size", "60x120", ("60 ft x 120 ft", "60 m x 120 m")),
    ],
)
def test_a_unit_that_could_be_meant_otherwise_is_asked_back(key: str, typed: str, readings: tuple[str, ...]) -> None:
    with pytest.raises(MeantError) as found:
        read_answer(questions()[key], typed)
    assert found.value.readings == readings


def test_asked_back_the_unit_is_enough(tmp_path: Path) -> None:
    done = _typed(tmp_path, _without("record_low", "fault_current"), "13", "°F", "{9 kA: letter", "{9 kA: utility letter of 2026-02-11}")
    assert done.exit_code == 0, done.output
    read = _read(tmp_path / "house" / "project.yaml")
    assert read["site"]["climate"]["record_low"] == "13 °F"
    assert read["equipment"]["UTIL"]["available_fault_current"] == {"9 kA": "utility letter of 2026-02-11"}


def test_the_forms_that_are_shown_can_stand_in_a_file_of_answers(tmp_path: Path) -> None:
    """As printed, without quotes: each form of a place is read from a line of the file."""
    for shown in ("house right, 7 ft from front corner", "indoors, garage by the house door"):
        assert shown in WRITTEN_AS["place"]
        (tmp_path / "told.yaml").write_text(f"panel_at: {shown}\n", "utf-8")
        assert read_answer(questions()["panel_at"], _read(tmp_path / "told.yaml")["panel_at"]).is_known


def test_an_answer_that_is_needed_says_why_instead_of_asking_silently(tmp_path: Path) -> None:
    done = _typed(tmp_path, _without("town"), "", "Tarnmoor")
    assert "cannot be left open, as its code is the one" in done.output
