"""The demo's invented field results: the record a finished job leaves behind."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from permitgen.package.field_and_record import comparison_of_states, labels_to_place, record_files_of
from permitgen.views.field_checklist import view_of

DEMO = Path(__file__).resolve().parents[2] / "demo_project"


@pytest.fixture(scope="module")
def built(demo):
    return demo, record_files_of(demo)


def test_every_line_of_the_checklist_is_answered(built):
    """The results follow the demo's checklist: make them again (docs/make_demo_field_results.py) when it changes."""
    opened, files = built
    lines = view_of(opened.evaluation, opened.fingerprint, labels_to_place(opened)).by_id
    assert {logged.entry.line for logged in opened.field.entries} == set(lines)
    record = json.loads(files["record/record.json"])
    assert {test["verdict"] for test in record["tests"]} == {"passes", "recorded", "built otherwise", "could not be tested"}
    assert len(record["differences"]) == 4


def test_larger_conductors_are_for_the_record_only_and_break_no_rule(built):
    opened, _ = built
    comparison = comparison_of_states(opened)
    assert {str(d.kind) for d in comparison.differences} == {"record only"}
    assert comparison.worse == ()
    assert comparison.record_findings == ()
    assert comparison.permitted.system.circuits["C8"].conductors.size != comparison.built.system.circuits["C8"].conductors.size


def test_the_record_of_a_finished_job_stays_small_and_valid(built):
    _, files = built
    assert len(files["record/index.html"]) < 75_000
    assert all(len(content) < 150_000 for name, content in files.items() if name.endswith(".html"))
    record = json.loads(files["record/record.json"])
    jsonschema.validate(record, json.loads(files["record/record.schema.json"]), cls=jsonschema.Draft202012Validator)
    assert record["state"] == "accepted"
    assert record["commissioned"] == "2026-05-14"


def test_what_could_not_be_tested_says_why_and_is_no_pass(built):
    _, files = built
    tests = {test["id"]: test for test in json.loads(files["record/record.json"])["tests"]}
    assert tests["island:curtails"]["verdict"] == "could not be tested"
    assert "cloudy" in tests["island:curtails"]["reason"]
    assert tests["torque:C7@MID.PV:L1"]["measured"] == {"value": 45, "unit": "lbf·in"}


def test_maintenance_counts_from_commissioning(built):
    """One year after 2026-05-14 is 2027-05-14; one month after, 2026-06-14."""
    _, files = built
    tasks = {task["task"]["en"]: task["next"] for task in json.loads(files["record/record.json"])["maintenance"]}
    assert tasks["Check that the labels and the placard can be read"] == "2027-05-14"
    assert tasks["Run the generator"] == "2026-06-14"


def test_serials_are_in_the_private_record_alone(built):
    _, files = built
    private = json.loads(files["record_professional/record.json"])["private"]
    serials = {row["tag"]: row["serial_number"] for row in private["serial_numbers"]}
    assert {"MID", "ESS1", "ESS2", "GEN"} <= set(serials)
    public = "".join(content.decode("utf-8") for name, content in files.items() if name.startswith("record/"))
    for serial in serials.values():
        assert serial not in public
