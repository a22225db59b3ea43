"""``permitgen survey``: asked at the site, taken in, put into the file, and judged.

Limits: NEC 2023 110.26(A)(1), Table 110.26(A)(1) (0 to 150 V to ground, condition 1: 3 ft) and 240.24(A) (6 ft 7 in).
"""

import json

import pytest

from permitgen.package.opened_project import open_project
from permitgen.package.survey_job import form_of
from tests.cli.in_process import ROOT, run
from tests.surveyed import answer, opened_house, sent

DEPTH, HANDLE = "survey:equipment.MSP.place.clear_depth", "survey:equipment.MSP.place.handle_height"
ACCESS = "survey:equipment.MSP.place.readily_accessible"
BUSBAR = "survey:equipment.MSP.busbar"
CIRCUITS = "survey:names of the circuits of MSP that the file does not show"


@pytest.fixture
def tmp_path(same_place):
    return same_place


@pytest.fixture
def house(tmp_path):
    return opened_house(tmp_path / "house", "depth", "handle", "access", "busbar")


def recorded(house, *entries):
    done = run("record", house, sent(house, entries))
    assert (done.returncode, done.stderr) == (0, "")


def test_the_questions_are_written_beside_the_project(house):
    before = (house / "project.yaml").read_bytes()
    done = run("survey", house)
    assert (done.returncode, done.stderr) == (0, "")
    assert sorted(path.name for path in (house / "survey").iterdir()) == ["survey.html", "survey.pdf"]
    assert "At the main panel: " in done.stdout
    assert (house / "project.yaml").read_bytes() == before
    again = {path: path.read_bytes() for path in (house / "survey").iterdir()}
    assert run("survey", house).returncode == 0
    assert {path: path.read_bytes() for path in again} == again


def test_where_nothing_is_open_nothing_is_written(tmp_path):
    done = run("survey", ROOT / "demo_project", "--out", tmp_path / "out")
    assert (done.returncode, done.stdout.count("\n")) == (0, 1)
    assert "nothing is open" in done.stdout
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(("depth", "verdict"), [("36 in", "passes"), ("35 in", "violated")])
def test_an_answer_is_written_and_judged(house, depth, verdict):
    """110.26(A)(1): 3 ft are enough and 35 in are not; either way the question is asked no more."""
    recorded(house, answer(DEPTH, depth), answer(HANDLE, "60 in", at=1), answer(ACCESS, "yes", at=2))
    shown = run("survey", house, "--answers")
    assert (shown.returncode, shown.stderr) == (0, "")
    before = (house / "project.yaml").read_text("utf-8")
    assert f'clear_depth: {{{depth}: "survey, M. Tarn, 2026-05-11"}}' in shown.stdout
    assert "clear_depth" not in before
    done = run("survey", house, "--write")
    assert done.returncode == 0
    assert done.stdout.startswith(shown.stdout.partition("3 keys")[0])
    after = (house / "project.yaml").read_text("utf-8")
    assert "readily_accessible: yes" in after
    assert [line for line in after.splitlines() if "MSP.place" not in line and "clear_depth" not in line] == [
        line for line in before.splitlines() if "right of the meter" not in line
    ]
    found = json.loads(run("check", house, "--format", "json").stdout)
    (space,) = [f for f in found["findings"] if f["rule"] == "working-space" and f["subject"] == "MSP"]
    assert space["verdict"] == verdict
    asked = {fact["key"] for question in found["questions"] for fact in question["facts"]}
    assert not asked & {"equipment.MSP.place.clear_depth", "equipment.MSP.place.handle_height"}
    assert "nothing to write" in run("survey", house, "--answers").stdout


def test_could_not_see_it_is_kept_and_shown_beside_the_question(house):
    recorded(house, answer(DEPTH, reason="a car stood there"))
    shown = run("survey", house, "--write")
    assert shown.returncode == 0
    assert "not seen: Clear depth in front of MSP: survey, M. Tarn, 2026-05-11 (a car stood there)\n" in shown.stdout
    assert "clear_depth" not in (house / "project.yaml").read_text("utf-8")
    assert run("survey", house).returncode == 0
    assert "M. Tarn, 2026-05-11: could not see it (a car stood there)" in (house / "survey" / "survey.html").read_text("utf-8")


def test_an_answer_that_cannot_be_put_in_is_one_message(house):
    recorded(house, answer(HANDLE, "60 in"), answer(DEPTH, "an arm's length", at=1))
    before = (house / "project.yaml").read_bytes()
    done = run("survey", house, "--write")
    assert (done.returncode, done.stdout) == (2, "")
    (message,) = done.stderr.splitlines()
    (batch,) = (house / "field").glob("*.json")
    line = next(n for n, text in enumerate(batch.read_text("utf-8").splitlines(), 1) if "an arm's length" in text)
    assert message.startswith(f"{batch.as_posix()}:{line}:1: equipment.MSP.place.clear_depth: ")
    assert "cannot stand there" in message
    assert (house / "project.yaml").read_bytes() == before


def test_two_tapes_are_two_sources_and_two_words_are_a_message(house):
    recorded(house, answer(DEPTH, "36 in"), answer(DEPTH, "38 in", by="K. Orr", at=1))
    shown = run("survey", house, "--answers").stdout
    assert 'clear_depth: {36 in: "survey, M. Tarn, 2026-05-11", 38 in: "survey, K. Orr, 2026-05-11"}' in shown
    recorded(house, answer(ACCESS, "yes", at=2), answer(ACCESS, "no", by="K. Orr", at=3))
    done = run("survey", house, "--answers")
    assert done.returncode == 2
    assert "differing answers" in done.stderr
    settled = answer(ACCESS, "yes", by="K. Orr", at=4)
    recorded(house, settled | {"repeats": answer(ACCESS, "no", by="K. Orr", at=3)["id"], "reason": "a ladder was gone"})
    assert "readily_accessible: yes" in run("survey", house, "--answers").stdout


def test_what_no_line_holds_is_listed_until_somebody_wrote_it(house):
    recorded(house, answer(CIRCUITS, "two ranges, one dryer"))
    done = run("survey", house, "--write")
    assert done.returncode == 0
    assert "to write by hand: Names of the circuits of MSP that the file does not show: two ranges, one dryer" in done.stdout
    assert "two ranges" not in (house / "project.yaml").read_text("utf-8")


def test_answers_are_no_results_of_the_checklist(house):
    """What was seen before the work tests nothing: no gate moves, no line of the checklist is done, nothing was built otherwise."""
    before = run("check", house, "--format", "json").stdout
    recorded(house, answer(DEPTH, "36 in"))
    assert run("check", house, "--format", "json").stdout == before


def test_options_that_do_not_go_together_and_a_folder_that_is_none(house, tmp_path):
    assert run("survey", house, "--write", "--out", tmp_path / "x").returncode == 2
    (tmp_path / "file").write_text("", "utf-8")
    assert run("survey", house, "--out", tmp_path / "file").returncode == 3


def test_below_what_other_files_say_nothing_is_written():
    """A key below a hardware entry, or of a device that stands in a directory, is answered in words: a line there would hide the rest."""
    demo = open_project(ROOT / "demo_project")
    written, catalog = demo.loaded.written.data["equipment"], demo.loaded.written.data["catalog"]
    tag = next(tag for tag, entry in written.items() if "terminals" not in entry and "terminals" in catalog.get(entry.get("catalog"), ()))
    assert form_of(demo, f"equipment.{tag}.terminals.line.wire").kind == "told"
    circuit = next(
        t
        for t, c in demo.loaded.file.data["circuits"].items()
        if "overcurrent" in c and "overcurrent" not in demo.loaded.written.data["circuits"][t]
    )
    end = next(iter(demo.loaded.file.data["circuits"][circuit]["overcurrent"]))
    assert form_of(demo, f"circuits.{circuit}.overcurrent.{end}.lockable").kind == "told"
    assert form_of(demo, f"equipment.{tag}.place.to_receptacle").kind == "figure"


def test_what_was_meanwhile_written_elsewhere_is_not_written_again(house):
    """Somebody read the answer and wrote it into the entry of the catalog: the equipment's own line would stand over it."""
    recorded(house, answer(BUSBAR, "225 A"))
    assert "busbar: {225 A: " in run("survey", house, "--answers").stdout
    file = house / "project.yaml"
    text = file.read_text("utf-8").replace("    busbar: unknown  # open (nameplate): the label inside the door\n", "    catalog: panel\n")
    file.write_text(text.replace("equipment:\n", "catalog:\n  panel: {kind: panelboard, busbar: 200 A}\nequipment:\n", 1), "utf-8")
    done = run("survey", house, "--answers")
    assert (done.returncode, done.stdout) == (0, "0 keys answered; nothing to write\n")
