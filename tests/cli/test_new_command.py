"""``permitgen new``: a commented project file of what stands on nameplates; no answer is a fact that nobody has read.

The answers under ``new_answers`` are the facts of the houses of ``tests/topologies`` under the names of the questions, so that what was
reasoned out by hand there says which violations are true here. Screens and values of a common house: at most 25 and 60.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from permitgen.cli import new as new_command
from permitgen.cli.main import cli
from permitgen.package.opened_project import open_project
from permitgen.package.unread import unread_facts
from permitgen.project.starting.answers import read_answer
from permitgen.project.starting.declarations import parts, questions, screens
from permitgen.project.starting.drafting import Leaf, Mark, leaves
from permitgen.project.starting.new_project import NewProject
from permitgen.rules.judgement import Verdict
from permitgen.views.question_spec import WHO_KNOWS
from tests.cli.new_houses import HERE, HOUSES, STRING_INVERTER, answers_of, judged, made, run, started, violated

EXPECTED = HERE.parent / "topologies" / "expected"
MOST_SCREENS, MOST_VALUES, MOST_SCREENS_OF_A_STRING_INVERTER = 25, 60, 15
# With battery, interconnect device and a second panel there is more to read; each still fits the screens.
COMMON = (STRING_INVERTER, "b01_pv_load_side", "b02_pv_supply_side", "b14_generator_inlet", "b24_ground_mount")


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("name", HOUSES)
def test_a_house_of_nameplates_has_no_false_violation(name: str, tmp_path: Path) -> None:
    expected = EXPECTED / f"{name}.yaml"
    reasoned = yaml.load(expected.read_text("utf-8"), yaml.CSafeLoader)["violated"] if expected.is_file() else []
    evaluation = judged(started(name, tmp_path / "house"))
    assert violated(evaluation) <= {each["rule"] for each in reasoned}
    assert evaluation.counts[Verdict.PASSES] > evaluation.counts[Verdict.VIOLATED]


def test_ten_houses_are_tried() -> None:
    assert len(HOUSES) > 10


@pytest.mark.parametrize("name", HOUSES)
def test_screens_and_values_stay_few(name: str) -> None:
    given = answers_of(name)
    asked = [key for key in given if not questions()[key].is_later]
    shown = [screen for screen in screens() if any(question.key in asked for question in screen.questions)]
    assert len(shown) <= (MOST_SCREENS_OF_A_STRING_INVERTER if name == STRING_INVERTER else MOST_SCREENS)
    if name in COMMON:
        assert len(asked) <= MOST_VALUES


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("name", COMMON)
def test_what_is_asked_in_the_first_round_is_read(name: str, tmp_path: Path) -> None:
    """An answer that no rule consumes and no document prints was not worth a question."""
    stated = {
        ".".join(path): leaf for path, leaf in leaves(made(answers_of(name)).file) if leaf.mark is Mark.STATED and leaf.text != "none"
    }
    unread = {fact.key for fact in unread_facts(open_project(started(name, tmp_path / "house")))}
    read = {leaf.question for path, leaf in stated.items() if path not in unread} | _leading_on()
    assert {leaf.question for leaf in stated.values() if not questions()[leaf.question].is_later} <= read


def _leading_on() -> set[str]:
    """The questions by whose answers others are asked, as the place of a run leads to its height above the roof."""
    conditions = [each for question in questions().values() for each in question.when]
    told = [each for condition in conditions for each in (condition if isinstance(condition, tuple) else (condition,))]
    return {key for each in told for key in each} - {"answered", "not"}


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("name", HOUSES)
def test_the_file_says_of_each_value_what_it_rests_on_and_reads_back(name: str, tmp_path: Path) -> None:
    project = made(answers_of(name))
    lines = project.text.splitlines()
    assert lines[0].startswith("# yaml-language-server: $schema=project.schema.json")
    assert all(len(line) <= 140 for line in lines)
    read = yaml.load(project.text, Loader=yaml.CBaseLoader)
    for path, leaf in leaves(project.file):
        assert leaf.mark is Mark.FOLLOWS or leaf.says or leaf.knows, path
        if leaf.text is not None:
            assert _at(read, path, leaf.text) == leaf.text, path
    marked = sum(bool(re.search(r"# (?:[a-z_]+: )?(?:stated|open|typical)\b", line)) for line in lines[len(_head(lines)) :])
    assert marked == sum(leaf.mark is not Mark.FOLLOWS for leaf in _written(project))
    assert (tmp_path / "house") == started(name, tmp_path / "house")
    assert (tmp_path / "house" / "project.yaml").read_text("utf-8") == project.text


def _head(lines: list[str]) -> list[str]:
    return lines[: next(index for index, line in enumerate(lines) if not line.startswith("#"))]


def _written(project: NewProject) -> list[Leaf]:
    """One for each comment: what a person answers with several keys at once has a comment a key."""
    return [leaf for _, leaf in leaves(project.file)]


def _at(tree: Any, path: tuple[str, ...], text: Any) -> Any:
    """What stands at a path; of a list, whose entries have numbers in the draft, the entry that is meant."""
    for step in path:
        tree = (text if text in tree else tree[0]) if isinstance(tree, list) else tree[step]
    return tree


def test_nothing_is_computed_from_what_is_typical() -> None:
    """Typical are names alone: ratings, fault currents, lengths, distances and listings never are."""
    for name in HOUSES:
        typical = {path[-1] for path, leaf in leaves(made(answers_of(name)).file) if leaf.mark is Mark.TYPICAL}
        assert typical == {"name"}


def test_a_missing_answer_is_one_message_and_nothing_is_written(tmp_path: Path) -> None:
    done = run(
        str(tmp_path / "house"), "--answer", "job=Elm", "--answer", "what=portable generator", "--answer", "service=meter and main panel"
    )
    assert done.exit_code == 2
    lines = done.stderr.splitlines()
    assert not (tmp_path / "house").exists()
    missing = [line.split(":")[0] for line in lines]
    assert missing[:3] == ["address", "town", "edition"]
    assert len(missing) == len(set(missing))
    assert all("--answer" in line for line in lines)


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("panel_busbar=200 V", "--answer: panel_busbar: "),
        ("edition=2021", "there is no NEC 2021 in this program"),
        ("edition=unknown", "cannot be left open"),
        ("panel_main=none", "the layout has a device here"),
        ("service_conductor=4/0 AWG", "names no metal"),
        ("panel_at=somewhere", "is no place"),
        ("panel_at=barn right, 3 ft from front corner", "panel_at"),
        ("what=windmill", "is not one of"),
        ("what=string inverter, microinverters", "together are not laid out"),
        ("panel_busbr=200 A", 'did you mean "panel_busbar"'),
        ("branches=ten", "branches"),
        ("panel_fed_at=-", "leaves open what is meant"),
        ("solar_joins=interconnect device", "there is no interconnect device without backup"),
        ("panel_breakers_sum=20 A", "panel_breakers_sum"),
        ("panel_door=1 20A 1P existing half quarter", "panel_door"),
    ],
)
def test_a_wrong_answer_is_told_at_that_answer(answer: str, says: str, tmp_path: Path) -> None:
    done = run(str(tmp_path / "house"), "--answers", str(HOUSES[STRING_INVERTER]), "--answer", answer)
    assert done.exit_code == 2
    assert says in done.stderr
    assert not (tmp_path / "house").exists()


ODD = [
    "",
    "none",
    "unknown",
    "yes",
    "-",
    "200 A",
    "2P",
    "x" * 500,
    "1,2",
    "-5",
    "9" * 30,
    "claim by x",
    "claim x by y",
    "left 3 ft",
    "outdoors:",
]
ODD += ["²", "{", "1/0", "size", "1\n2", [], {}, [[]], ["10", ["1"]], {"a": {"b": "c"}}, {"200 A": ["x"]}, [{}], {"wall": ["x"]}]


def _refusal(key: str, odd: Any) -> str:
    """The message with which an answer is refused; of one that is read, what was read."""
    try:
        return repr(read_answer(questions()[key], odd))
    except ValueError as error:
        return str(error)


def test_an_odd_answer_is_read_or_refused_with_a_message() -> None:
    assert all(_refusal(key, odd) for key in questions() for odd in ODD)


def test_each_branch_needs_its_space(tmp_path: Path) -> None:
    done = run(str(tmp_path / "house"), "--answers", str(HOUSES["b11_detached_building"]), "--answer", "branch_spaces=9")
    assert done.exit_code == 2
    assert "branch_spaces: 1 in a row; expected 2, as branches has" in done.stderr


def test_a_value_is_refused_in_the_words_of_the_project_file(tmp_path: Path) -> None:
    project = started(STRING_INVERTER, tmp_path / "house") / "project.yaml"
    text = project.read_text("utf-8").replace("busbar: 200 A", "busbar: 200 V")
    project.write_text(text, "utf-8")
    in_file = CliRunner().invoke(cli, ["check", str(project)]).stderr.strip().rpartition("equipment.MSP.busbar: ")[2]
    with pytest.raises(ValueError, match=re.escape(in_file)):
        read_answer(questions()["panel_busbar"], "200 V")


def test_a_project_file_is_never_written_over(tmp_path: Path) -> None:
    folder = started(STRING_INVERTER, tmp_path / "house")
    before = (folder / "project.yaml").read_bytes()
    again = run(str(folder), "--answers", str(HOUSES["b01_pv_load_side"]))
    assert again.exit_code == 2
    assert "is there already" in again.stderr
    assert (folder / "project.yaml").read_bytes() == before


def test_what_a_house_is_not_asked_for_is_kept_and_told_once(tmp_path: Path) -> None:
    """A technician has the floor area on the form before anybody asks for it; a fact is no mistake."""
    more = {
        "floor_area": "1480 ft²",
        "branches": "10",
        "mid_main": "2P 200 A",
        "house_size": "48 ft x 30 ft",
        "branch_run_length": "claim 20 ft by owner",
    }
    done = run(
        str(tmp_path / "house"), "--answers", str(HOUSES["b24_ground_mount"]), *(f"--answer={key}={value}" for key, value in more.items())
    )
    assert done.exit_code == 0, done.stderr
    told = [line for line in " ".join(done.output.split()).split("open, ") if "not asked of this house" in line]
    assert len(told) == 1
    assert "kept in the file: floor_area; not used" in told[0]
    assert "branches (what is string inverter)" in told[0]
    assert "house_size (lot_size is open)" in told[0]
    text = (tmp_path / "house" / "project.yaml").read_text("utf-8")
    read = yaml.load(text, Loader=yaml.CBaseLoader)
    assert read["site"]["floor_area"] == "1480 ft²"
    assert "MID" not in read["equipment"]
    for key, value in more.items() - {("floor_area", "1480 ft²")}:
        assert f"#   {key}: {value}" in text


@pytest.mark.parametrize("name", HOUSES)
def test_no_answer_of_a_house_is_lost(name: str) -> None:
    """What was asked and answered stands in the file, unless the file has no place for it and says so."""
    project = made(answers_of(name))
    asked = {each.key for each in project.not_asked if not each.is_in_the_file}
    assert asked <= {"panel_main_backfed"}, asked


def test_all_wrong_answers_are_told_in_one_round(tmp_path: Path) -> None:
    """One that nobody can read, one with a misspelled key, one that only the file as a whole refuses, one that this house is not asked."""
    wrong = ("--answer=panel_busbar=200 V", "--answer=panel_bond_=removed", "--answer=panel_breakers_sum=20 A", "--answer=mid_busbar=wide")
    done = run(str(tmp_path / "house"), "--answers", str(HOUSES[STRING_INVERTER]), *wrong)
    assert done.exit_code == 2
    assert {line.split(": ")[1] for line in done.stderr.splitlines()} == {"panel_busbar", "panel_bond_", "panel_breakers_sum", "mid_busbar"}
    assert not (tmp_path / "house").exists()


def test_a_structure_without_a_panel_carries_an_array_with_converters() -> None:
    read = yaml.load(made(answers_of("carport_array")).text, Loader=yaml.CBaseLoader)
    assert read["site"]["buildings"] == {"carport": {"use": "carport", "attached_to": "none"}}
    array = read["equipment"]["PV1"]
    assert (array["on_building"], array["unenclosed_structure"], array["converter"]) == ("carport", "yes", "converter")
    assert read["catalog"]["converter"]["string_voltage"] == "480 V"
    assert set(read["site"]["plan"]["buildings"]) == {"house", "carport"}


def test_behind_a_meter_main_the_island_device_stands_ahead_of_the_house_panel() -> None:
    read = yaml.load(made(answers_of("meter_main_backup")).text, Loader=yaml.CBaseLoader)
    ends = [(each["from"], each["to"]) for each in read["circuits"].values()]
    assert ends == [("UTIL", "MM.line"), ("MM.feed_through", "MID.supply"), ("MID.load", "HP.main"), ("ESS1", "MID.BAT1")]
    assert read["equipment"]["MID"]["role"] == ["islanding"]
    assert read["equipment"]["MM"]["role"] == ["service equipment"]


def test_an_array_on_the_ground_may_be_shut_down_where_its_dc_circuits_reach_the_house() -> None:
    """690.12 speaks of PV system circuits on or in buildings, wherever the modules lie."""
    given = {**answers_of("b24_ground_mount"), "shutdown_by": "PV disconnect", "rapid_shutdown_listed": "yes", "shutdown_voltage": "1 V"}
    read = yaml.load(made(given).text, Loader=yaml.CBaseLoader)
    assert read["equipment"]["PVD"]["role"] == ["rapid shutdown initiator"]
    assert read["equipment"]["PV1"]["shutdown_voltage"] == "1 V"


def test_a_claim_is_kept_with_its_speaker_and_is_no_fact() -> None:
    project = made({**answers_of(STRING_INVERTER), "panel_busbar": "claim 225 A by the owner"})
    line = next(line for line in project.text.splitlines() if "claims 225 A" in line)
    assert "the owner claims 225 A" in line
    read = yaml.load(project.text, yaml.CSafeLoader)
    assert read["equipment"]["MSP"]["busbar"] == "unknown"


def test_a_figure_may_name_its_source() -> None:
    project = made({**answers_of(STRING_INVERTER), "panel_busbar": {"200 A": "label in the door", "225 A": "permit of 2019"}})
    assert "busbar: {200 A: label in the door, 225 A: permit of 2019}" in project.text


def test_a_panel_may_be_told_as_on_its_door() -> None:
    lines = '1  20A 1P 10kA  "KITCHEN"  existing\n2,4  30A 2P 10kA  "DRYER"  existing\n'
    project = made({**answers_of(STRING_INVERTER), "panel_breakers_sum": "unknown", "panel_door": lines})
    read = yaml.load(project.text, Loader=yaml.CBaseLoader)
    assert read["equipment"]["MSP"]["directory"] == lines


def test_on_a_terminal_what_is_missing_is_asked_and_a_slip_is_asked_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(new_command, "_is_on_terminal", lambda: True)
    given = answers_of(STRING_INVERTER)
    file = tmp_path / "answers.yaml"
    file.write_text(json.dumps({key: value for key, value in given.items() if key not in ("town", "panel_busbar")}), "utf-8")
    done = CliRunner().invoke(cli, ["new", str(tmp_path / "house"), "--answers", str(file)], input="Tarnmoor\n200 V\n200 A\n")
    assert done.exit_code == 0, done.output
    assert "why: " in done.output
    assert "busbar: 200 A" in (tmp_path / "house" / "project.yaml").read_text("utf-8")


def test_the_end_tells_what_is_open_and_what_comes_next(tmp_path: Path) -> None:
    folder = tmp_path / "house"
    done = run(str(folder), "--answers", str(HOUSES[STRING_INVERTER]))
    assert f"permitgen check {folder}" in done.output
    assert f"permitgen build {folder}" in done.output
    assert "open, nameplate: " in done.output


def test_questions_lead_on_only_from_those_before_them() -> None:
    seen: set[str] = {"answered", "not"}
    for key, question in questions().items():
        for condition in question.when:
            alternatives = condition if isinstance(condition, tuple) else (condition,)
            asked = {name for each in alternatives for name in each} | {
                name
                for each in alternatives
                for name in ([each["answered"]] if isinstance(each.get("answered"), str) else each.get("answered", ()))
            }
            assert asked <= seen, key
        assert question.knows in WHO_KNOWS
        seen.add(key)


def test_every_answer_goes_to_the_file() -> None:
    """A question whose answer nothing writes would be asked in vain."""
    written = " ".join(str(part.writes) for part in parts())
    repeated = {part.each for part in parts()}
    values = [key for key, question in questions().items() if not question.choices and key not in repeated]
    assert [key for key in values if not re.search(rf"={key}['.]|<{key}[.>]", written)] == []


def test_the_questions_are_printed_as_a_file_of_answers() -> None:
    done = run("--questions")
    assert done.exit_code == 0
    assert all(f"# {key}:" in done.output for key in questions())
