"""The record's files: schema, sizes, policy, links, revisions; the same facts for people and programs."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import re
import shutil
from pathlib import Path

import jsonschema
import pytest

from permitgen.documents.record_folder import record_files, redirect_page
from permitgen.package.document_ids import documents_of
from permitgen.package.field_and_record import comparison_of_states, record_alone, record_files_of
from permitgen.package.opened_project import open_project
from tests.record_pages import NAMES, pages_of

DEMO = Path(__file__).resolve().parents[2] / "demo_project"


@pytest.fixture
def tmp_path(same_place):
    return same_place


@pytest.fixture(scope="module")
def permitted(tmp_path_factory):
    """The demo as it was permitted, before anybody went to the site."""
    return copied(tmp_path_factory.mktemp("permitted") / "project")


@pytest.fixture(scope="module")
def files(permitted):
    return record_files_of(open_project(permitted), {"placard.pdf": b"abc"})


@pytest.fixture
def project(tmp_path):
    return copied(tmp_path / "project")


def files_alone(opened):
    """The files of the record without its list of Document IDs, for which every other document has to be made."""
    return record_files(record_alone(opened, listed=()), project_folder=opened.loaded.folder)


def copied(folder):
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("field"))
    return folder


def with_built(project, built):
    file = project / "project.yaml"
    file.write_text(file.read_text("utf-8").rstrip("\n") + "\nbuilt:\n" + built, "utf-8")
    return open_project(project)


def test_json_is_valid_against_the_schema_beside_it(files):
    schema = json.loads(files["record/record.schema.json"])
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for folder in ("record", "record_owner", "record_professional"):
        validator.validate(json.loads(files[f"{folder}/record.json"]))


def test_schema_refuses_a_verdict_without_what_it_rests_on(files):
    """As the domain asks: no pass without measurement and date, no skipped test without a reason, no counter as an id."""
    schema = json.loads(files["record/record.schema.json"])
    validator = jsonschema.Draft202012Validator(schema)
    record = json.loads(files["record/record.json"])
    wrong = [
        {"id": "torque:C7@MID.PV:L1", "kind": "Torque log", "verdict": "passes", "date": "2026-05-14"},
        {"id": "x", "kind": "Tests", "verdict": "passes"},
        {"id": "x", "kind": "Tests", "verdict": "could not be tested", "date": "2026-05-14"},
        {"id": "x", "kind": "Tests", "verdict": "fine"},
    ]
    for test in wrong:
        with pytest.raises(jsonschema.ValidationError):
            validator.validate(record | {"tests": [test]})
    with pytest.raises(jsonschema.ValidationError):
        validator.validate(record | {"record_id": "142"})


def test_nothing_done_is_nothing_passed(files):
    """Nobody was there: every line of its checklist is *not done*, none passes."""
    record = json.loads(files["record/record.json"])
    assert record["state"] == "as permitted, not yet built"
    assert {test["verdict"] for test in record["tests"]} == {"not done"}


@pytest.mark.parametrize(("name", "most"), [("index", 75_000), ("electrician", 150_000), ("calculations", 150_000)])
def test_page_is_small_and_asks_nobody(files, name, most):
    page = files[f"record/{name}.html"]
    assert len(page) < most
    text = page.decode("utf-8")
    assert "<script" not in text
    assert not re.findall(r'(?:src|href)="(?:https?:)?//', text)
    assert not re.search(r"\sstyle=", text)
    assert not re.search(r"\son[a-z]+=", text)


def test_policy_is_strict_and_matches_the_style(files):
    text = files["record/index.html"].decode("utf-8")
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text).group(1).replace("&#39;", "'")
    style = re.search(r"<style>(.*?)</style>", text, re.DOTALL).group(1)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert policy.startswith("default-src 'none'")
    assert f"style-src 'sha256-{digest}'" in policy
    assert "unsafe" not in policy
    assert "script-src" not in policy


def test_every_link_inside_the_pages_leads_somewhere(files):
    for folder in ("record", "record_professional"):
        ids = {name: re.findall(r'\sid="([^"]+)"', files[f"{folder}/{name}"].decode("utf-8")) for name in NAMES}
        for name in NAMES:
            assert len(ids[name]) == len(set(ids[name]))
            for page, fragment in re.findall(r'href="([^"#]*)#([^"]+)"', files[f"{folder}/{name}"].decode("utf-8")):
                assert fragment in ids[page.rpartition("/")[2] or name], (name, page, fragment)


@pytest.mark.nightly
def test_digests_and_document_ids_are_those_of_the_package(files, demo):
    text = files["record/index.html"].decode("utf-8")
    data = json.loads(files["record/record.json"])
    assert hashlib.sha256(b"abc").hexdigest() in text
    assert data["document_id"] in text
    listed = documents_of(demo)
    assert [row["id"] for row in data["document_ids"]] == [each.document_id for each in listed]
    part = text[text.index('<section id="current">') : text.index('<section id="revisions">')]
    assert sorted(re.findall(r'class="digest">([^<]+)</th>', part)) == sorted(each.document_id for each in listed)
    assert all(html.escape(each.name) in part and html.escape(each.place) in part for each in listed)


def test_revisions_are_chained(files):
    """Recomputed here: each digest covers number, date, reason and the digest before."""
    revisions = json.loads(files["record/record.json"])["revisions"]
    previous = ""
    for row in revisions:
        # The public reason may have names taken out; the demo's do not.
        content = {"number": row["number"], "date": row["date"], "reason": row["reason"], "previous": previous}
        expected = hashlib.sha256(json.dumps(content, sort_keys=True, ensure_ascii=False, separators=(",", ":")).encode()).hexdigest()
        assert (row["digest"], row["previous"]) == (expected, previous)
        previous = row["digest"]
    assert len(revisions) == 2


@pytest.mark.nightly  # two whole packages are compared in each push: test_package
def test_same_project_same_bytes(files, permitted):
    assert record_files_of(open_project(permitted), {"placard.pdf": b"abc"}) == files


def test_record_shows_what_the_rules_say_of_the_built_state(project):
    opened = with_built(project, "  departures:\n    - {path: circuits.C7.conductors.size, to: 10 AWG}\n")
    comparison = comparison_of_states(opened)
    assert "conductor-ampacity:C7" in {finding.id for finding in comparison.worse}
    page = pages_of(files_alone(opened))
    assert "NO REASON GIVEN" in page
    assert "needs approval, no approval recorded" in page
    assert "C7: 10 AWG copper carries" in page
    assert "8 AWG" in page


def test_after_a_fire_the_page_says_do_not_energize(project):
    file = project / "project.yaml"
    file.write_text(file.read_text("utf-8").replace("  address_public: no", "  status: do not energize\n  address_public: no"), "utf-8")
    page = files_alone(open_project(project))["record/index.html"].decode("utf-8")
    assert "DO NOT ENERGIZE" in page
    assert "NO CONECTE LA CORRIENTE" in page
    assert page.index("DO NOT ENERGIZE") < page.index('<ol class="steps"', page.index('id="en"'))


HOSTILE = '"><script>alert(1)</script>{{ 7 * 191 }}{% raw %}&amp;'


def test_hostile_text_stays_text(project, whole):
    """By night with the list of Document IDs, for which every other document is drawn."""
    file = project / "project.yaml"
    text = file.read_text("utf-8").replace("description: pad north-east of the garage", f"description: '{HOSTILE}'")
    file.write_text(text.replace("name: Battery unit 1", f"name: '{HOSTILE}'"), "utf-8")
    for name, content in (record_files_of if whole else files_alone)(open_project(project)).items():
        if name.endswith(".html"):
            page = content.decode("utf-8")
            # The short forms alone have a script, their own; their data is read as text.
            own = ('<script type="application/json"', '<script>"use strict"') if name.endswith("short_forms.html") else ()
            assert page.count("<script") == sum(map(page.count, own))
            assert "<script>alert" not in page
            assert "1337" not in page
            # Pages that only lead on say nothing of the project.
            assert "&lt;script&gt;" in page or own or 'http-equiv="refresh"' in page


@pytest.mark.parametrize(
    "address", ["javascript:alert(1)", "data:text/html,x", 'https://a.example/"><script>', "ftp://a.example", "//a.example"]
)
def test_a_record_moves_only_to_a_web_address(address):
    with pytest.raises(ValueError, match="not an address"):
        redirect_page(address)


def test_a_moved_record_leads_to_its_new_place():
    page = redirect_page("https://records.example/4H7PM2X9K3TB8WQD/").decode("utf-8")
    assert '<meta http-equiv="refresh" content="0; url=https://records.example/4H7PM2X9K3TB8WQD/">' in page
    assert page.count('<a href="https://records.example/4H7PM2X9K3TB8WQD/">') == 2
