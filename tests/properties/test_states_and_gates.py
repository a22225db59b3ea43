"""What was tested and built decides: a failed safety test shows on record, in findings, in the gates and in the exit status.

Which tests are safety tests is the project's own list: rapid shutdown (690.12), emergency stop (706.15, 445.19, 225.41), back-feed
(705.40), neutral bond (250.30), insulation, unbalance and generator interlock (702.5); the last three common practice, no published source.
"""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from permitgen.cli.main import cli
from permitgen.documents.record_folder import record_files
from permitgen.evaluation.field_verdict import FieldVerdict
from permitgen.package.field_and_record import checklist_lines_of, comparison_of_states, record_alone
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_of
from permitgen.package.standing import is_violated, standing_of_project
from permitgen.project.field_batches import FIELD_FOLDER, Batch, batch_file, read_field_log
from permitgen.project.field_results import ResultEntry
from tests.record_pages import pages_of

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
LATER = "2026-05-15T08:00:00.000Z"
KINDS = {"rapid shutdown", "emergency stop", "back-feed", "island unbalance", "bond", "insulation", "generator interlock"}


@pytest.fixture
def tmp_path(same_place):
    return same_place


@pytest.fixture(scope="module")
def demo():
    return open_project(DEMO)


@pytest.fixture(scope="module")
def safety_lines(demo):
    return [line for line in checklist_lines_of(demo).lines if line.safety]


def entry(line, number=1, **said):
    whose = {"by": "BQ", "instrument": "MM-08", "at": LATER, "inputs": {}}
    return ResultEntry(id=f"{number:032x}", line=line, **whose | said)


def house(folder, entries, *, with_results=True):
    """The demo in ``folder`` with further entries from the field."""
    shutil.copytree(DEMO, folder, ignore=None if with_results else shutil.ignore_patterns(FIELD_FOLDER))
    if entries:
        name, content = batch_file(Batch("HB-0142", 1, "ab" * 32, tuple(entries), ()))
        (folder / FIELD_FOLDER).mkdir(exist_ok=True)
        (folder / FIELD_FOLDER / name).write_bytes(content)
    return folder


def record_of(opened):
    """The files of the record; the list of Document IDs, which needs every other document, is looked at elsewhere."""
    return record_files(record_alone(opened, listed=()), project_folder=opened.loaded.folder)


def failing(line):
    """An answer to a safety line that must fail."""
    if line.rule.kind == "done":
        return entry(line.id, answer="no", reason="did not")
    value = "0.01" if line.rule.kind == "insulation" or (line.rule.least is not None and line.rule.most is None) else "9999"
    return entry(line.id, answer="value", value=value, unit=line.unit, inputs={also.name: "9999" for also in line.rule.also})


def test_the_finished_demo_may_be_left_in_service(demo):
    standing = standing_of_project(demo)
    assert [(gate.name, gate.is_open) for gate in standing.gates] == [("permit", True), ("hang", True), ("energize", True)]
    assert not is_violated(demo)
    assert plan_set_of(demo).cover.field == ()
    assert json.loads(record_of(demo)["record/record.json"])["state"] == "accepted"


def test_every_kind_of_safety_test_is_on_the_demos_checklist(safety_lines):
    assert {line.safety for line in safety_lines} == KINDS


@pytest.mark.nightly
def test_a_failed_safety_test_of_each_kind_shows_everywhere(tmp_path, safety_lines):
    for kind in sorted(KINDS):
        line = next(line for line in safety_lines if line.safety == kind)
        opened = open_project(house(tmp_path / kind.replace(" ", "-"), [failing(line)]))
        standing = standing_of_project(opened)
        assert f"field-test:{line.id}" in standing.gate("energize").violated, kind
        assert standing.gate("hang").is_open == (kind not in ("rapid shutdown", "emergency stop")), kind
        assert standing.gate("permit").is_open
        assert is_violated(opened)
        files = record_of(opened)
        record = json.loads(files["record/record.json"])
        assert record["state"] == "as built"
        assert f"field-test:{line.id}" in {finding["id"] for finding in record["findings"]}
        cover = plan_set_of(opened).cover.field
        assert any(said.startswith("As tested, FAILS: ") for said in cover)
        assert any(said.startswith("FOR ENERGIZING: shut, 1 FAILS") for said in cover)
        page = files["record/index.html"].decode()
        assert "Tests that failed" in page
        assert "FOR ENERGIZING: shut, 1 FAILS" in page.replace("\u00a0", " ")
        assert "Not yet. The tests of this system are not complete" in page


def test_exit_status_and_text_of_check(tmp_path, safety_lines, monkeypatch):
    monkeypatch.setattr("permitgen.cli.check._list_unread", lambda _opened: None)  # it takes a minute, and is tested elsewhere
    line = next(line for line in safety_lines if line.safety == "rapid shutdown" and line.rule.kind == "number")
    folder = house(tmp_path / "house", [failing(line)])
    for gate, status in (("permit", 0), ("hang", 1), ("energize", 1)):
        done = CliRunner().invoke(cli, ["check", str(folder), "--gate", gate])
        assert done.exit_code == status, gate
        assert "as tested: " in done.stdout
        assert "9999 is more than 30" in done.stdout
    for asked in ((), ("--unread",), ("--why", "conduit-fill")):
        assert CliRunner().invoke(cli, ["check", str(folder), *asked]).exit_code == 1, asked
    found = json.loads(CliRunner().invoke(cli, ["check", str(folder), "--format", "json"]).stdout)
    failed = [finding for finding in found["findings"] if finding["state"] == "tested"]
    assert [finding["id"] for finding in failed] == [f"field-test:{line.id}"]
    assert failed[0]["source"]["file"].startswith("field/")


@pytest.mark.nightly
def test_what_is_only_due_is_no_violation(tmp_path):
    """Nothing built yet: check exits 0, the gate FOR ENERGIZING is shut, and nothing says how to switch on."""
    folder = house(tmp_path / "house", [], with_results=False)
    opened = open_project(folder)
    standing = standing_of_project(opened)
    assert not is_violated(opened)
    assert standing.gate("energize").due
    assert not standing.gate("energize").violated
    assert CliRunner().invoke(cli, ["check", str(folder)]).exit_code == 0
    assert CliRunner().invoke(cli, ["check", str(folder), "--gate", "energize"]).exit_code == 1
    record = json.loads(record_of(opened)["record/record.json"])
    assert record["state"] == "as permitted, not yet built"


def test_a_safety_test_that_could_not_be_made_is_due(tmp_path, safety_lines):
    line = safety_lines[0]
    opened = open_project(house(tmp_path / "house", [entry(line.id, answer="could not test", reason="no sun")]))
    assert line.id in standing_of_project(opened).gate("energize").due


def test_a_departure_that_breaks_a_rule_is_violated_as_built(tmp_path):
    """A 125 A busbar behind a 200 A main (408.36): check and build exit 1, the gates of hanging and energizing are shut."""
    folder = house(
        tmp_path / "house", [entry("busbar:HP", answer="built otherwise", value="125 A", reason="as delivered", permitted="200 A")]
    )
    opened = open_project(folder)
    assert is_violated(opened)
    standing = standing_of_project(opened)
    assert standing.gate("permit").is_open
    assert not standing.gate("hang").is_open
    assert CliRunner().invoke(cli, ["check", str(folder)]).exit_code == 1
    assert CliRunner().invoke(cli, ["build", str(folder), "--only", "checklist"]).exit_code in (1, 2)


def test_the_switch_that_failed_is_struck_and_what_it_should_stop_stays_live(tmp_path, safety_lines):
    line = next(line for line in safety_lines if line.proves[0] and line.rule.kind == "number")
    page = record_of(open_project(house(tmp_path / "house", [failing(line)])))["record/index.html"].decode()
    assert "TEST FAILED, do not rely on it" in page
    assert "<s>stops solar panels" in page
    assert "its test FAILED. Treat it as live" in page
    assert "LA PRUEBA FALLÓ" in page


def test_the_worse_of_two_answers_counts_until_somebody_settles_it(tmp_path, demo, safety_lines):
    line = next(line for line in safety_lines if line.rule.kind == "number" and line.rule.also)
    bad = failing(line)
    for at in ("2026-05-13T08:00:00.000Z", LATER):  # before the passing entry of the demo, and after it
        opened = open_project(house(tmp_path / at[:10], [replace(bad, at=at)]))
        assert f"field-test:{line.id}" in standing_of_project(opened).gate("energize").violated
    good = next(logged.entry for logged in demo.field.entries if logged.entry.line == line.id)
    settled = house(tmp_path / "settled", [bad])
    file = settled / "project.yaml"
    decided = f"{{line: {line.id!r}, entry: {good.id}, reason: meter of the first was in ohms, decided_by: M. Tarn, date: 2026-05-16}}"
    settlement = f"\nbuilt:\n  settlements:\n    - {decided}\n"
    file.write_text(file.read_text("utf-8").rstrip("\n") + "\n" + settlement, "utf-8")
    assert standing_of_project(open_project(settled)).gate("energize").is_open


def test_an_entry_that_repeats_another_stands_in_its_place(tmp_path, safety_lines):
    line = next(line for line in safety_lines if line.rule.kind == "number" and line.rule.also)
    bad = failing(line)
    again = entry(
        line.id,
        2,
        answer="value",
        value="3",
        unit=line.unit,
        inputs={a.name: "240" if a.is_condition else "3" for a in line.rule.also},
        reason="relay replaced",
    )
    folder = house(tmp_path / "bare", [bad, replace(again, at="2026-05-15T09:00:00.000Z")])
    assert not standing_of_project(open_project(folder)).gate("energize").is_open
    folder = house(tmp_path / "repeat", [bad, replace(again, at="2026-05-15T09:00:00.000Z", repeats=bad.id)])
    assert standing_of_project(open_project(folder)).gate("energize").is_open
    assert [logged.entry.repeats for logged in read_field_log(folder, "HB-0142").entries][-1] == bad.id


def test_what_was_typed_stays_private_until_it_is_released(tmp_path, safety_lines):
    line = next(line for line in safety_lines if line.rule.kind == "done")
    said = "gate code 4711, ask Nell"
    folder = house(
        tmp_path / "house", [entry(line.id, answer="no", reason=said), entry("firmware:MID", 2, answer="value", value="pw hunter22")]
    )
    files = record_of(open_project(folder))
    private = ("record_professional/electrician.html", "record_professional/record.json", "record_owner/record.json")
    for name, content in files.items():
        assert (said.encode() in content) == (name in private), name
        assert b"hunter22" not in content or name.startswith(("record_professional/", "record_owner/"))
    file = folder / "project.yaml"
    file.write_text(file.read_text("utf-8").replace("released: [", f"released: ['{line.id}', "), "utf-8")
    opened = open_project(folder)
    assert said in pages_of(record_of(opened))
    warned = [finding for finding in comparison_of_states(opened).record_findings if finding.rule == "released-text"]
    assert [(finding.subject, "looks as if it held a code or password" in finding.judgement.message) for finding in warned] == [
        (line.id, True)
    ]
    assert "4711" not in warned[0].judgement.message
    assert str(warned[0].verdict) == "caution"


def test_a_released_line_that_does_not_exist_is_a_message(tmp_path):
    folder = house(tmp_path / "house", [])
    file = folder / "project.yaml"
    file.write_text(file.read_text("utf-8").replace("released: [island:curtails,", "released: [island:curtail,"), "utf-8")
    done = CliRunner().invoke(cli, ["check", str(folder)])
    assert done.exit_code == 2
    assert 'no line and compares no key "island:curtail"' in done.stderr
    assert "island:curtails" in done.stderr


def test_verdicts_of_lines_have_an_order():
    from permitgen.views.field_standing import _ORDER

    assert set(_ORDER) == set(FieldVerdict)
