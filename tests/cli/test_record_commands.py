"""The commands of the field and the record: merging results, signing, verifying, moving."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_project"


def _run(*arguments, folder=ROOT):
    return subprocess.run(
        [sys.executable, "-m", "permitgen", *map(str, arguments)], cwd=folder, capture_output=True, text=True, check=False
    )


@pytest.fixture
def house(tmp_path):
    folder = tmp_path / "house"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("package"))
    return folder


@pytest.fixture
def package(tmp_path):
    folder = tmp_path / "package"
    assert _run("build", DEMO, "--only", "findings", "--out", folder).returncode == 0
    return folder


def test_results_are_merged_once(house):
    done = _run("record", house, house / "field_results.json")
    assert (done.returncode, done.stderr) == (0, "")
    assert "departure: circuits." in done.stdout
    merged = (house / "project.yaml").read_bytes()
    again = _run("record", house, house / "field_results.json")
    assert again.stdout.startswith("nothing new")
    assert (house / "project.yaml").read_bytes() == merged


def test_results_of_another_project_change_nothing(house):
    results = json.loads((house / "field_results.json").read_text("utf-8"))
    (house / "project.yaml").write_text((house / "project.yaml").read_text("utf-8").replace("HB-0142", "HB-0143"), "utf-8")
    before = (house / "project.yaml").read_bytes()
    done = _run("record", house, house / "field_results.json")
    assert results
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert (house / "project.yaml").read_bytes() == before


def test_a_signed_package_tells_what_was_changed(package, tmp_path):
    key = tmp_path / "key.pem"
    signed = _run("sign", package, "--key", key, "--new-key")
    assert signed.returncode == 0
    public = signed.stdout.split()[2].rstrip(";")
    assert _run("verify", package, "--signer", public).returncode == 0
    assert _run("verify", package, "--signer", "0" * 64).returncode == 1
    (package / "findings.json").write_text("{}")
    changed = _run("verify", package, "--signer", public)
    assert changed.returncode == 1
    assert "changed  findings.json" in changed.stdout


def test_a_changed_manifest_is_not_the_signed_one(package, tmp_path):
    key = tmp_path / "key.pem"
    assert _run("sign", package, "--key", key, "--new-key").returncode == 0
    manifest = package / "manifest.json"
    manifest.write_text(manifest.read_text("utf-8").replace("Quillfern", "Quilfern"), "utf-8")
    assert _run("verify", package).returncode == 1


def test_a_key_is_not_overwritten(package, tmp_path):
    key = tmp_path / "key.pem"
    key.write_text("mine")
    assert _run("sign", package, "--key", key, "--new-key").returncode == 3
    assert key.read_text() == "mine"


def test_a_moved_record_leads_on(tmp_path):
    page = tmp_path / "index.html"
    assert _run("redirect", "https://records.example/house", "--out", page).returncode == 0
    assert "https://records.example/house" in page.read_text("utf-8")
    refused = _run("redirect", "javascript:alert(1)", "--out", tmp_path / "other.html")
    assert refused.returncode == 2
    assert not (tmp_path / "other.html").exists()
