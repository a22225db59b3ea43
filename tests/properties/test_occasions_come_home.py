"""What happens after acceptance comes home as results do: a yearly check, a visit, a sale, a fire, a removal. The record then says so.

The forms and what they change are common practice, no published source, but for a rapid shutdown that failed its test (690.12).
"""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from permitgen.documents.record_folder import record_files
from permitgen.package.field_and_record import comparison_of_states, record_alone
from permitgen.package.field_job import take_in_results
from permitgen.package.opened_project import open_project
from permitgen.package.standing import standing_of_project
from permitgen.reading.problems import ProblemsError
from permitgen.views.checklist.occasions import occasions_of
from permitgen.views.record_keeping import KeptAnswer

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
RECORD = "4H7PM2X9K3TB8WQD"
ALL_THINGS = frozenset({"energy storage", "rapid shutdown", "generator"})


@pytest.fixture
def tmp_path(same_place):
    return same_place


@pytest.fixture
def project(tmp_path):
    shutil.copytree(DEMO, tmp_path / "house", ignore=shutil.ignore_patterns("package"))
    return tmp_path / "house"


def send(project, *answers, at="2027-05-12T09:00:00.000Z", by="Xo Tavik", project_name=RECORD, revision=1, start=1):
    entries = [
        {"id": f"{number:031x}f", "line": line, "answer": answer, "by": by, "at": at, **({"value": value} if value else {})}
        for number, (line, answer, value) in enumerate(answers, start)
    ]
    data = {"format": "permitgen field results", "version": "1.0", "project": project_name, "revision": revision, "fingerprint": "cd" * 32}
    file = project.parent / "sent.json"
    file.write_text(json.dumps(data | {"entries": entries, "photos": []}), "utf-8")
    return take_in_results(project, file)


def public(project):
    return record_alone(open_project(project), listed=()).public


def test_each_line_is_said_in_both_languages_and_only_of_what_is_there():
    lines = [each for form in occasions_of(ALL_THINGS) for each in form.lines]
    assert len({each.line.id for each in lines}) == len(lines)
    assert all(re.fullmatch(r"occasion:[a-z]+:[a-z_]+", each.line.id) for each in lines)  # a key such as "off" is none in plain YAML
    assert all(each.line.instruction and each.spanish and each.spanish != each.line.instruction for each in lines)
    assert {form.id for form in occasions_of(frozenset())} == {"yearly", "service", "sale", "fire", "removal"}
    bare = " ".join(each.line.instruction for form in occasions_of(frozenset()) for each in form.lines).lower()
    assert not any(word in bare for word in ("batter", "solar", "generator", "rapid"))


def test_a_yearly_check_is_kept_and_counts_from_its_day(project):
    before = public(project)
    assert before.keeping.last("yearly") == ""
    send(project, ("occasion:yearly:look", "yes", ""), ("occasion:yearly:labels", "no", ""), ("occasion:yearly:found", "value", "Wasps"))
    after = public(project)
    assert after.keeping.last("yearly") == "2027-05-12"
    assert after.keeping.next_yearly == "2028-05-12"
    rows = {row.task: row.next for row in after.owner[0].maintenance if row.months == 12}
    assert rows["Look over all equipment: covers closed, no rust, no smell, nothing stored in front"] == "2028-05-12"
    # What the installer entered is not moved by what an owner looks at later.
    assert (after.identity.commissioned, after.identity.state) == (before.identity.commissioned, before.identity.state)
    assert [row.id for row in after.results] == [row.id for row in before.results]
    answers = after.keeping.kept[0].answers
    assert KeptAnswer("occasion:yearly:labels", "Labels and placard can be read", "no", "") in answers
    opened = open_project(project)
    files = record_files(record_alone(opened, listed=()), project_folder=opened.loaded.folder)
    page, owner = (files[f"{folder}/index.html"].decode() for folder in ("record", "record_owner"))
    assert "kept 2027-05-12" in page
    assert "Answered with no: Labels and placard can be read" in page
    assert "guardado el 2027-05-12" in page
    for secret in ("Xo Tavik", "Wasps"):
        assert not any(secret.encode() in content for name, content in files.items() if name.startswith("record/"))
        assert secret in owner


def test_a_shutdown_that_failed_its_yearly_test_is_violated_until_a_later_one_passes(project):
    send(project, ("occasion:yearly:shutdown", "no", ""))
    standing = standing_of_project(open_project(project))
    assert not standing.gate("energize").is_open
    assert "field-test:occasion:yearly:shutdown" in standing.gate("energize").violated
    send(project, ("occasion:yearly:shutdown", "yes", ""), at="2027-06-01T09:00:00.000Z", start=9)
    assert standing_of_project(open_project(project)).gate("energize").is_open


@pytest.mark.nightly
def test_on_one_day_the_worse_answer_counts(project):
    send(project, ("occasion:yearly:shutdown", "yes", ""), at="2027-05-12T10:00:00.000Z")
    send(project, ("occasion:yearly:shutdown", "no", ""), at="2027-05-12T09:00:00.000Z", by="Bq", start=9)
    assert not standing_of_project(open_project(project)).gate("energize").is_open


def test_after_a_fire_the_record_says_do_not_energize_until_somebody_cleared_it(project):
    send(project, ("occasion:fire:what", "value", "Smoke in the garage"), ("occasion:fire:shut_down", "yes", ""))
    said = public(project)
    assert said.identity.status == "do not energize"
    assert said.emergency.english.alarm.startswith("This system was marked unsafe")
    # No steps to switch on; the switch-off steps stay.
    again = next(answer for answer in said.owner[0].answers if answer.question == "How do I turn it back on?")
    assert again.steps == ()
    assert said.emergency.english.steps
    send(project, ("occasion:fire:cleared", "yes", ""), at="2027-07-01T09:00:00.000Z", start=9)
    assert public(project).identity.status == "in service"


@pytest.mark.nightly
def test_what_is_removed_is_said_and_can_be_taken_back(project):
    send(project, ("occasion:removal:all", "yes", ""))
    assert public(project).identity.status == "removed"
    send(project, ("occasion:removal:all", "no", ""), at="2027-07-01T09:00:00.000Z", start=9)
    assert public(project).identity.status == "in service"


def test_the_new_custodian_is_nobodys_business(project):
    send(project, ("occasion:sale:custodian", "value", "Orla Quenby, 555-0161"), ("occasion:sale:given", "yes", ""))
    opened = open_project(project)
    files = record_files(record_alone(opened, listed=()), project_folder=opened.loaded.folder)
    for name, content in files.items():
        assert (b"Orla Quenby" in content) == (
            name in {f"record_{who}/{page}" for who in ("owner", "professional") for page in ("index.html", "record.json")}
        )


def test_a_form_of_an_older_revision_is_taken_in_and_a_checklist_is_not(project):
    assert send(project, ("occasion:service:work", "value", "Breaker replaced"), revision=0).added == 1
    with pytest.raises(ProblemsError, match="these results are of revision 0"):
        send(project, ("occasion:service:told", "yes", ""), ("clean:MID", "yes", ""), revision=0, project_name="HB-0142", start=9)


@pytest.mark.parametrize(
    ("answers", "changes", "expected"),
    [
        ((("occasion:yearly:shine", "yes", ""),), {}, 'no line "occasion:yearly:shine"'),
        ((("occasion:party:cake", "yes", ""),), {}, 'no line "occasion:party:cake"'),
        ((("clean:MID", "yes", ""),), {}, f'of the project "{RECORD}"'),
        ((("occasion:yearly:look", "yes", ""), ("clean:MID", "yes", "")), {}, f'of the project "{RECORD}"'),
        ((("occasion:yearly:look", "yes", ""),), {"revision": 7}, "the project file is still at revision 1"),
        ((("occasion:yearly:look", "yes", ""),), {"project_name": "another"}, 'of the project "another"'),
        ((("occasion:yearly:look", "fine", ""),), {}, '"fine" is not one of'),
        ((("occasion:yearly:found", "value", "x" * 121),), {}, "121 characters"),
        ((("occasion:yearly:found", "value", "a\u202eb"),), {}, "invisible character"),
        ((("occasion:yearly:look", "yes", ""),), {"at": "2027-05-12"}, "expected a time"),
        ((("occasion:yearly:look", "yes", ""),), {"by": "y" * 41}, "41 characters"),
    ],
)
def test_a_form_that_is_wrong_is_refused_with_one_message_and_changes_nothing(project, answers, changes, expected):
    before = sorted(path for path in project.rglob("*"))
    with pytest.raises(ProblemsError) as caught:
        send(project, *answers, **changes)
    assert expected in str(caught.value)
    assert len(caught.value.problems) == 1
    assert sorted(path for path in project.rglob("*")) == before


def test_a_person_who_writes_the_status_stands_over_what_was_reported(project):
    send(project, ("occasion:removal:all", "yes", ""))
    file = project / "project.yaml"
    file.write_text(
        file.read_text("utf-8").replace("  address_public: no\n", "  address_public: no\n  status: do not energize\n", 1), "utf-8"
    )
    assert comparison_of_states(open_project(project)).built.system.record.status == "do not energize"
