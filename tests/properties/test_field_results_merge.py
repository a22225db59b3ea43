"""Merging keeps everything: the file's own text, both sides of a conflict, and itself when it is done twice."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import jsonschema
import pytest
import yaml

from permitgen.project.built_section import built_section_text
from permitgen.project.departures import as_built
from permitgen.project.field_results_merge import merge_field_results
from permitgen.project.load import load_project
from permitgen.reading.reader import read_text

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_project" / "project.yaml"
SCHEMA = json.loads((ROOT / "permitgen" / "project" / "field_results.schema.json").read_text("utf-8"))


def entry(number, **changes):
    base = {
        "id": f"{number:032x}",
        "line": "torque:C7@MID.PV:L1",
        "tag": "C7",
        "answer": "value",
        "value": "45",
        "unit": "lbf·in",
        "at": f"2026-05-14T15:{number:02d}:00.000Z",
    }
    return base | changes


def send(folder, *entries, name="r.json", **changes):
    data = {
        "format": "permitgen field results",
        "version": "1.0",
        "project": "HB-0142",
        "revision": 1,
        "fingerprint": "ab" * 32,
        "entries": list(entries),
        "photos": [],
    } | changes
    jsonschema.validate(data, SCHEMA, cls=jsonschema.Draft202012Validator)
    file = folder.parent / f"{folder.name}-{name}"
    file.write_text(json.dumps(data), "utf-8")
    return file


@pytest.fixture
def project(tmp_path):
    shutil.copy(DEMO, tmp_path / "project.yaml")
    return tmp_path


def text_of(project):
    return (project / "project.yaml").read_text("utf-8")


def test_schema_is_valid():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_everything_outside_built_keeps_its_bytes(project):
    before = text_of(project)
    merge_field_results(project, send(project, entry(1)))
    assert text_of(project).startswith(before.rstrip("\n") + "\n")
    assert "built:" in text_of(project)[len(before.rstrip("\n")) :]


def test_merging_twice_changes_nothing(project):
    file = send(
        project,
        entry(1),
        entry(
            2,
            line="conductor:C7",
            answer="built otherwise",
            value="6 AWG",
            reason="none on the truck",
            path="circuits.C7.conductors.size",
            permitted="8 AWG",
        ),
    )
    first = merge_field_results(project, file)
    once = text_of(project)
    again = merge_field_results(project, file)
    assert (first.added, again.added, again.already_there) == (2, 0, 2)
    assert not again.is_changed
    assert text_of(project) == once


def test_both_sides_of_a_conflict_are_kept(project):
    merge_field_results(project, send(project, entry(1, value="45", by="AA")))
    report = merge_field_results(project, send(project, entry(2, value="41", by="BB"), name="other.json"))
    assert any("both are kept" in notice for notice in report.notices)
    values = [result.value("value") for result in load_project(project).system.built.results]
    assert values == ["45", "41"]


def test_a_correction_keeps_the_old_entry(project):
    merge_field_results(project, send(project, entry(1, value="35"), entry(2, value="45")))
    assert [r.value("value") for r in load_project(project).system.built.results] == ["35", "45"]


def test_built_otherwise_becomes_a_departure(project):
    merge_field_results(
        project,
        send(
            project,
            entry(
                1,
                line="conductor:C7",
                answer="built otherwise",
                value="6 AWG",
                reason="none on the truck",
                path="circuits.C7.conductors.size",
                permitted="8 AWG",
                by="MT",
            ),
        ),
    )
    loaded = load_project(project)
    departure = loaded.system.built.departures[0]
    assert (departure.path, departure.permitted, departure.built, departure.reason) == (
        "circuits.C7.conductors.size",
        "8 AWG",
        "6 AWG",
        "none on the truck",
    )
    assert str(loaded.system.circuits["C7"].conductors.size) == "8 AWG"
    assert str(as_built(loaded).system.circuits["C7"].conductors.size) == "6 AWG"


def test_a_value_that_cannot_stand_there_is_kept_and_said(project):
    report = merge_field_results(
        project,
        send(
            project,
            entry(
                1,
                line="conductor:C7",
                answer="built otherwise",
                value="the thick one",
                reason="found so",
                path="circuits.C7.conductors.size",
                permitted="8 AWG",
            ),
        ),
    )
    assert report.departures == ()
    assert "cannot stand there" in report.notices[0]
    assert load_project(project).system.built.results[0].value("value") == "the thick one"


def test_as_drawn_after_all_takes_a_departure_back_without_losing_it(project):
    facts = {"line": "conductor:C7", "path": "circuits.C7.conductors.size", "permitted": "8 AWG"}
    merge_field_results(project, send(project, entry(1, answer="built otherwise", value="6 AWG", reason="thought so", **facts)))
    merge_field_results(project, send(project, entry(2, answer="as drawn", value="", **facts), name="b.json"))
    loaded = load_project(project)
    assert [d.built for d in loaded.system.built.departures] == ["6 AWG", "8 AWG"]
    assert str(as_built(loaded).system.circuits["C7"].conductors.size) == "8 AWG"


BUILT = """
built:   # what the crew found
  # departures first
  departures:
    # approved by phone
    - path: circuits.C7.conductors.size   # bigger
      to: 6 AWG
      reason: 'none on the truck'
      date: 2026-05-01
  results:
    - kind: torque   # the first one
      subject: C7
      values: {line: "torque:C7@MID.PV:L2", value: "45", switches: no, size: 010, at: 12:30}

# the end of the file, said by the owner
record_note_that_is_not_a_key: yes
"""


def test_comments_quotes_and_order_in_built_stay():
    """What a person wrote in ``built:`` is still there, word for word, and odd scalars are still what he typed."""
    text = DEMO.read_text("utf-8").rstrip("\n") + "\n" + BUILT
    file = read_text(text, "project.yaml")
    fresh = built_section_text(file, [{"kind": "torque", "subject": "C8", "values": {"value": "no"}}], [])
    for kept in (
        "# what the crew found",
        "# departures first",
        "# approved by phone",
        "# bigger",
        "'none on the truck'",
        "# the first one",
        "switches: no",
        "size: 010",
        "at: 12:30",
    ):
        assert kept in fresh
    assert fresh.endswith("# the end of the file, said by the owner\nrecord_note_that_is_not_a_key: yes\n")
    again = read_text(fresh, "project.yaml").data
    assert again["built"]["results"][-1] == {"kind": "torque", "subject": "C8", "values": {"value": "no"}}
    assert again["built"]["results"][0]["values"]["size"] == "010"
    assert {k: v for k, v in again.items() if k != "built"} == {k: v for k, v in file.data.items() if k != "built"}


def test_other_yaml_readers_see_text_too(project):
    """A plain YAML 1.1 reader takes ``no`` and ``12:30`` for other things unless they are quoted."""
    merge_field_results(project, send(project, entry(1, value="12", note="no", by="on", reason="12:30")))
    result = yaml.safe_load(text_of(project))["built"]["results"][0]["values"]
    assert (result["note"], result["by"], result["reason"], result["value"]) == ("no", "on", "12:30", "12")


def test_a_script_in_a_note_stays_text(project):
    note = '<script>alert("x")</script> & {{ 7 * 7 }} \'"'
    merge_field_results(project, send(project, entry(1, note=note)))
    assert load_project(project).system.built.results[0].value("note") == note


def test_windows_line_ends_stay(project):
    file = project / "project.yaml"
    file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    before = file.read_bytes()
    merge_field_results(project, send(project, entry(1)))
    after = file.read_bytes()
    assert after.startswith(before)
    assert b"\n" not in after.replace(b"\r\n", b"")
