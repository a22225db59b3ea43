"""The commands of the field and the record: taking results in, signing, verifying, moving."""

import base64
import hashlib
import io
import json
import resource
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from permitgen.package.field_and_record import comparison_of_states, labels_to_place
from permitgen.package.opened_project import open_project
from permitgen.project.field_batches import read_field_log
from permitgen.views.record import record_of
from tests.cli.in_process import run

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_project"


@pytest.fixture
def tmp_path(same_place):
    return same_place


@pytest.fixture
def house(tmp_path):
    folder = tmp_path / "house"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("package", "field"))
    return folder


@pytest.fixture
def package(tmp_path):
    folder = tmp_path / "package"
    assert run("build", DEMO, "--only", "findings", "--out", folder).returncode == 0
    return folder


@pytest.fixture
def results(tmp_path):
    """What the demo's phone sent: the file in its field folder, in the form of a phone, with its photos."""
    (batch,) = (DEMO / "field").glob("*.json")
    data = json.loads(batch.read_text("utf-8")) | {"format": "permitgen field results"}
    for photo in data["photos"]:
        del photo["sha256"]
        picture = (DEMO / "field" / "photos" / photo.pop("file")).read_bytes()
        photo |= {"media_type": "image/jpeg", "data": base64.b64encode(picture).decode()}
    sent = tmp_path / "sent.json"
    sent.write_text(json.dumps(data), "utf-8")
    return sent


def _content(house):
    return {path.relative_to(house).as_posix(): path.read_bytes() for path in house.rglob("*") if path.is_file()}


def _with_photo(results, name, entries):
    """A part of the results, with a photo of the same line."""
    out = io.BytesIO()
    Image.new("RGB", (400, 300), name).save(out, "JPEG")
    photo = {"id": hashlib.sha256(name.encode()).hexdigest()[:32], "line": "photo:HP:open", "media_type": "image/jpeg"}
    data = json.loads(results.read_text("utf-8"))
    data |= {"entries": data["entries"][entries], "photos": [photo | {"data": base64.b64encode(out.getvalue()).decode()}]}
    file = results.with_name(f"{name}.json")
    file.write_text(json.dumps(data), "utf-8")
    return file


def test_results_are_taken_in_once(house, results):
    before = _content(house)
    done = run("record", house, results)
    assert (done.returncode, done.stderr) == (0, "")
    assert "departure: circuits." in done.stdout
    after = _content(house)
    added = after.keys() - before.keys()
    (new,) = (name for name in added if name.endswith(".json"))
    assert {name: after[name] for name in added if name != new} == {
        f"field/photos/{photo.name}": photo.read_bytes() for photo in (DEMO / "field" / "photos").iterdir()
    }
    assert f"written: {new}" in done.stdout
    assert {name: after[name] for name in before} == before
    again = run("record", house, results)
    assert again.stdout.startswith("nothing new")
    assert _content(house) == after
    demo = next((DEMO / "field").glob("*.json"))
    assert (Path(new).name, after[new]) == (demo.name, demo.read_bytes())


def test_results_of_another_project_change_nothing(house, results):
    (house / "project.yaml").write_text((house / "project.yaml").read_text("utf-8").replace("HB-0142", "HB-0143"), "utf-8")
    before = _content(house)
    done = run("record", house, results)
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert _content(house) == before


def test_two_calls_at_once_lose_nothing(house, results):
    """Parts that overlap, at the same time: every entry and both photos are there, each entry counts once."""
    parts = [_with_photo(results, "red", slice(0, 200)), _with_photo(results, "blue", slice(100, None))]
    before = _content(house)
    calls = [subprocess.Popen([sys.executable, "-m", "permitgen", "record", house, part], cwd=ROOT) for part in parts]
    assert [call.wait() for call in calls] == [0, 0]
    after = _content(house)
    assert {name: after[name] for name in before} == before
    assert sorted(name.count("photos/") for name in after.keys() - before.keys()) == [0, 0, 1, 1]
    sent = {entry["id"] for entry in json.loads(results.read_text("utf-8"))["entries"]}
    log = read_field_log(house, "HB-0142")
    assert len(log.entries) == len(sent)
    assert {logged.entry.id for logged in log.entries} == sent
    assert len(log.photos) == 2


def photo_row(house):
    """The row of a photo line in the private record."""
    opened = open_project(house)
    record = record_of(comparison_of_states(opened), required_labels=labels_to_place(opened))
    return next(row for row in record.private.results if row.id == "photo:HP:open")


def test_a_photo_sent_later_belongs_to_its_line(house, results):
    results.write_text(json.dumps(json.loads(results.read_text("utf-8")) | {"photos": []}), "utf-8")
    assert run("record", house, results).returncode == 0
    before = photo_row(house)
    assert (before.photos, before.verdict) == ((), "not done")  # a tap is no photo
    done = run("record", house, _with_photo(results, "red", slice(0, 200)))
    assert "0 added, 1 photos; 200 were there already" in done.stdout
    (photo,) = (house / "field" / "photos").iterdir()
    assert photo.read_bytes().startswith(b"\xff\xd8")
    row = photo_row(house)
    assert (row.photos, row.verdict) == ((f"field/photos/{photo.name}",), "passes")
    photo.unlink()
    assert "nothing new" not in run("record", house, _with_photo(results, "red", slice(0, 200))).stdout
    assert photo.is_file()


def _full_disk(most):
    """No file may grow beyond ``most`` bytes, as on a disk that is full."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))


@pytest.mark.sample(every=3)
@pytest.mark.parametrize("most", [0, 1000, 20_000])
def test_a_full_disk_leaves_nothing_behind(house, results, most):
    sent = _with_photo(results, "red", slice(None))
    before = sorted(house.rglob("*")), _content(house)
    done = subprocess.run(
        [sys.executable, "-B", "-m", "permitgen", "record", house, sent],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=lambda: _full_disk(most),
    )
    assert (done.returncode, len(done.stderr.splitlines())) == (3, 1)
    assert (sorted(house.rglob("*")), _content(house)) == before


def test_a_signed_package_tells_what_was_changed(package, tmp_path):
    key = tmp_path / "key.pem"
    signed = run("sign", package, "--key", key, "--new-key")
    assert signed.returncode == 0
    public = signed.stdout.split()[2].rstrip(";")
    assert run("verify", package, "--signer", public).returncode == 0
    assert run("verify", package, "--signer", "0" * 64).returncode == 1
    (package / "findings.json").write_text("{}")
    changed = run("verify", package, "--signer", public)
    assert changed.returncode == 1
    assert "changed  findings.json" in changed.stdout


def test_a_changed_manifest_is_not_the_signed_one(package, tmp_path):
    key = tmp_path / "key.pem"
    assert run("sign", package, "--key", key, "--new-key").returncode == 0
    manifest = package / "manifest.json"
    manifest.write_text(manifest.read_text("utf-8").replace("Quillfern", "Quilfern"), "utf-8")
    assert run("verify", package).returncode == 1


def test_a_key_is_not_overwritten(package, tmp_path):
    key = tmp_path / "key.pem"
    key.write_text("mine")
    assert run("sign", package, "--key", key, "--new-key").returncode == 3
    assert key.read_text() == "mine"


def test_a_moved_record_leads_on(tmp_path):
    page = tmp_path / "index.html"
    assert run("redirect", "https://records.example/house", "--out", page).returncode == 0
    assert "https://records.example/house" in page.read_text("utf-8")
    refused = run("redirect", "javascript:alert(1)", "--out", tmp_path / "other.html")
    assert refused.returncode == 2
    assert not (tmp_path / "other.html").exists()
