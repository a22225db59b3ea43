"""Of answers that differ the worse one counts, also for what was built, until an entry repeats the other one or somebody settles it.

Expected behavior is the project's own ("a bare second reading is a conflict: the worse one counts until somebody settles it with name
and reason"); no published source. What breaks a rule: a panelboard's busbar rated less than what protects it (NEC 2023 408.36).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from click.testing import CliRunner

from permitgen.cli.main import cli
from permitgen.documents.record_folder import record_files
from permitgen.package.field_and_record import checklist_lines_of, comparison_of_states, record_alone
from permitgen.package.opened_project import open_project
from permitgen.package.standing import is_violated, standing_of_project
from tests.properties.test_states_and_gates import DEMO, entry, house

SMALL = entry("busbar:HP", answer="built otherwise", value="125 A", reason="as delivered", permitted="200 A")
LATER = {"at": "2026-05-16T08:00:00.000Z"}
DRAWN = entry("busbar:HP", 2, answer="as drawn", permitted="200 A", **LATER)
LARGER = entry("busbar:HP", 2, answer="built otherwise", value="225 A", reason="as delivered", permitted="200 A", **LATER)
WORDS = entry("busbar:HP", 2, answer="built otherwise", value="the small one", reason="as delivered", permitted="200 A", **LATER)
BUSBAR = "panelboard-protection:HP"


@pytest.fixture
def tmp_path(same_place):
    return same_place


@pytest.fixture(scope="module")
def tested():
    """A line of the rapid shutdown whose reading is a number."""
    lines = checklist_lines_of(open_project(DEMO)).lines
    return next(line for line in lines if line.safety == "rapid shutdown" and line.rule.kind == "number")


def gates(folder):
    """Whether the gates of hanging and of energizing are open, and whether anything is violated."""
    opened = open_project(folder)
    standing = standing_of_project(opened)
    return standing.gate("hang").is_open, standing.gate("energize").is_open, is_violated(opened)


@pytest.mark.parametrize("other", [DRAWN, LARGER, WORDS], ids=["as drawn", "larger", "in words"])
def test_a_bare_second_answer_never_takes_a_departure_back_that_breaks_a_rule(tmp_path, other):
    for number, entries in enumerate(([SMALL, other], [replace(SMALL, **LATER), replace(other, at=SMALL.at)])):
        folder = house(tmp_path / str(number), entries)
        comparison = comparison_of_states(open_project(folder))
        assert comparison.built.system.equipment["HP"].busbar_rating_a.number == 125
        assert BUSBAR in {finding.id for finding in comparison.worse}
        assert "the worse one counts" in next(f for f in comparison.record_findings if f.rule == "difference-agreed").judgement.message
        assert gates(folder) == (False, False, True)


def test_a_repeat_or_a_settlement_takes_it_back(tmp_path):
    assert gates(house(tmp_path / "repeat", [SMALL, replace(DRAWN, repeats=SMALL.id, reason="that was the panel next door")])) == (
        True,
        True,
        False,
    )
    folder = house(tmp_path / "settled", [SMALL, DRAWN])
    who = "reason: seen by both, decided_by: M. Tarn, date: 2026-05-17"
    file = folder / "project.yaml"
    settled = f'{file.read_text("utf-8").rstrip()}\nbuilt:\n  settlements:\n    - {{line: busbar:HP, entry: "{DRAWN.id}", {who}}}\n'
    file.write_text(settled, "utf-8")
    assert gates(folder) == (True, True, False)


def test_what_was_built_in_words_that_nothing_can_judge_is_due_and_not_judged_as_permitted(tmp_path):
    """Nothing is violated as far as anybody knows; but hung, left in service or accepted it is not before somebody says what it is."""
    folder = house(tmp_path / "house", [WORDS])
    assert gates(folder) == (False, False, False)
    opened = open_project(folder)
    standing = standing_of_project(opened)
    assert standing.gate("hang").due == standing.gate("energize").due == ("difference-readable:equipment.HP.busbar",)
    assert standing.accepted_on == ""
    page = record_files(record_alone(opened, listed=()), project_folder=folder)["record/index.html"].decode()
    assert "Not yet. The tests of this system are not complete" in page
    assert "the small one" not in page
    for gate, status in (("permit", 0), ("hang", 1), ("energize", 1)):
        assert CliRunner().invoke(cli, ["check", str(folder), "--gate", gate]).exit_code == status


def test_a_repeat_that_is_no_test_takes_no_failure_away(tmp_path, tested):
    """That it could not be made again, or a reading without what belongs to it, stands beside the failure; a test made again for it."""
    whole = {"before": "240", "elapsed": "12"}
    failed = entry(tested.id, answer="value", value="200", unit=tested.unit, inputs=whole)
    again = {"repeats": failed.id, "reason": "relay replaced", **LATER}
    could_not = entry(tested.id, 2, answer="could not test", **again | {"reason": "no sun"})
    proves_nothing = entry(tested.id, 3, answer="value", value="3", unit=tested.unit, inputs={"elapsed": "12"}, **again)
    good = replace(proves_nothing, id=f"{4:032x}", inputs=whole)
    for name, entries in (("could not", [failed, could_not]), ("nothing", [failed, could_not, proves_nothing])):
        folder = house(tmp_path / name, entries)
        assert gates(folder) == (False, False, True)
        assert standing_of_project(open_project(folder)).gate("energize").violated == (f"field-test:{tested.id}",)
    assert gates(house(tmp_path / "good", [failed, could_not, proves_nothing, good])) == (True, True, False)
    after_all = replace(good, repeats=could_not.id)  # a phone may name the vain one
    assert gates(house(tmp_path / "after all", [failed, could_not, after_all])) == (True, True, False)


def test_a_pass_that_is_taken_back_is_due_again(tmp_path, tested):
    """The same words about a pass are no pass: that reading was of something else."""
    passed = entry(tested.id, answer="value", value="3", unit=tested.unit, inputs={"before": "240", "elapsed": "12"})
    taken_back = entry(tested.id, 2, answer="could not test", repeats=passed.id, reason="that was the other array", **LATER)
    standing = standing_of_project(open_project(house(tmp_path / "house", [passed, taken_back])))
    assert standing.gate("energize").due == (tested.id,)


@pytest.mark.parametrize("without", ["by", "instrument"])
def test_a_safety_test_of_which_nobody_says_who_or_with_what_is_due_and_fails_all_the_same(tmp_path, tested, without):
    reading = {"answer": "value", "unit": tested.unit, "inputs": {"before": "240", "elapsed": "12"}, without: ""}
    for value, (due, violated) in {"3": (True, False), "200": (False, True)}.items():
        gate = standing_of_project(open_project(house(tmp_path / value, [entry(tested.id, value=value, **reading)]))).gate("energize")
        assert (tested.id in gate.due, f"field-test:{tested.id}" in gate.violated) == (due, violated)
