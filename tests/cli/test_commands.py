"""Commands as a user runs them."""

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
import yaml

from permitgen.project.schema import project_schema
from tests.cli.in_process import run

ROOT = Path(__file__).resolve().parents[2]
SMALL = Path(__file__).resolve().parent / "small_house.yaml"


def test_help_names_every_command():
    done = run("--help")
    assert done.returncode == 0
    for command in ("build", "check", "explain", "schema"):
        assert command in done.stdout
        assert run(command, "--help").returncode == 0


def test_a_process_of_its_own_says_the_same():
    """The other tests of commands run them here: what a user starts ends alike and prints the same."""
    for arguments in (("check", "demo_project"), ("explain", "demo_project", "C77")):
        alone = subprocess.run([sys.executable, "-m", "permitgen", *arguments], cwd=ROOT, capture_output=True, text=True, check=False)
        here = run(*arguments)
        assert (alone.returncode, alone.stdout, alone.stderr) == (here.returncode, here.stdout, here.stderr)


def test_check_gives_json_with_the_keys_of_the_contract():
    done = run("check", "demo_project", "--format", "json")
    assert done.returncode == 0
    found = json.loads(done.stdout)["findings"]
    keys = {"id", "rule", "verdict", "section", "edition", "subject", "message", "computed", "limit", "suggestion", "source"}
    assert all(keys <= set(finding) for finding in found)
    assert len({finding["id"] for finding in found}) == len(found)


def test_check_gives_sarif_2_1_0():
    done = run("check", "demo_project/with_mistakes.yaml", "--format", "sarif")
    assert done.returncode == 1
    content = json.loads(done.stdout)
    assert content["version"] == "2.1.0"
    results = content["runs"][0]["results"]
    assert any(result["level"] == "error" for result in results)
    assert all(result["locations"] for result in results if result["level"] == "error")


def test_explain_prints_the_chain_down_to_the_file():
    done = run("explain", "demo_project", "C7")
    assert done.returncode == 0
    assert "I_125 = k × I = 1.25 × 33.12" in done.stdout
    assert "project.yaml:" in done.stdout
    assert "Table 310.16" in done.stdout


def test_explain_of_nothing_names_the_nearest():
    done = run("explain", "demo_project", "C77")
    assert done.returncode == 2
    assert 'did you mean "C7"?' in done.stderr


def test_unknown_document_is_usage():
    done = run("build", "demo_project", "--only", "calculation")
    assert done.returncode == 2
    assert 'did you mean "calculations"?' in done.stderr


def test_no_project_file_is_one_message(tmp_path):
    done = run("check", str(tmp_path / "nowhere.yaml"))
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1


def test_a_folder_that_cannot_be_written_is_status_3(tmp_path):
    (tmp_path / "file").write_text("a file, not a folder")
    shutil.copy(SMALL, tmp_path)
    done = run("build", "small_house.yaml", "--out", "file/package", "--only", "findings", folder=tmp_path)
    assert done.returncode == 3
    assert len(done.stderr.splitlines()) == 1


def test_schema_is_2020_12_and_accepts_the_demo():
    schema = project_schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)
    for path in (ROOT / "demo_project" / "project.yaml", SMALL, ROOT / "tests" / "topologies" / "b16_meter_main_40_a.yaml"):
        data = yaml.load(path.read_text("utf-8"), Loader=yaml.CBaseLoader)
        jsonschema.Draft202012Validator(schema).validate(data)


@pytest.mark.nightly
def test_compare_and_verify_say_what_a_revision_makes_old(tmp_path):
    """A panel with another name stands so in the panel schedule; a comment changes nothing."""
    text = SMALL.read_text("utf-8")
    for name, edited in (("a", text), ("b", text.replace("name: Main panel", "name: House panel")), ("c", f"# seen\n{text}")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "project.yaml").write_text(edited, "utf-8")
    assert run("build", "a", "--only", "labels", folder=tmp_path).returncode in (0, 1)
    same = run("verify", "a/package", "--project", "c", folder=tmp_path)
    assert same.returncode == 0, same.stderr
    assert "Documents: 0 old, 0 new, " in same.stdout
    other = run("compare", "a", "b", folder=tmp_path).stdout
    assert re.search(r"^  old   \S{4}-\S{4}  sheet  \S+ .*[Ee]quipment and panel schedules", other, re.MULTILINE)
    assert re.search(r"^  good  \S{4}-\S{4}  label  ", other, re.MULTILINE)
    assert run("verify", "b", "--project", "a", folder=tmp_path).returncode == 2
