"""Three readers, three folders: each can be verified and signed by itself; photos stand beside their line until they are withdrawn."""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from permitgen.cli.main import cli
from permitgen.documents.record_html import telephone_links
from permitgen.package.field_and_record import record_alone
from permitgen.package.folder import write_folder
from permitgen.package.opened_project import open_project
from permitgen.package.record_folders import FOLDERS, record_folders
from permitgen.package.verify import verify_package
from permitgen.project.field_batches import Batch, PhotoReference, batch_file
from permitgen.project.field_results import ResultEntry
from permitgen.reading.problems import ProblemsError
from tests.record_pages import pages_of

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
LINE = "photo:MID:open"
PICTURE = b"\xff\xd8\xff\xe0 not much of a picture \xff\xd9"
PHOTO = PhotoReference(f"{9:032x}", LINE, "photo-MID-open-0123456789ab.jpg", hashlib.sha256(PICTURE).hexdigest())
WITHDRAWN = f"""
built:
  withdrawn: [{{photo: {PHOTO.file}, by: Bo Quill, date: 2026-05-20, reason: shows the owner}}]
"""


@pytest.fixture
def tmp_path(same_place):
    return same_place


def house(folder, more="", picture=PICTURE):
    """The demo with one photo from the field."""
    shutil.copytree(DEMO, folder)
    entry = ResultEntry(id=f"{1:032x}", line=LINE, at="2026-05-15T10:00:00Z", answer="yes", inputs={})
    name, content = batch_file(Batch("HB-0142", 1, "ab" * 32, (entry,), (PHOTO,)))
    (folder / "field" / name).write_bytes(content)
    (folder / "field" / "photos").mkdir(exist_ok=True)
    (folder / "field" / "photos" / PHOTO.file).write_bytes(picture)
    with (folder / "project.yaml").open("a", encoding="utf-8") as file:
        file.write(more)
    return folder


def folders_of(folder):
    opened = open_project(folder)
    return record_folders(opened, record_alone(opened, listed=()), {"placard.pdf": b"%PDF-", "field_checklist.html": b"<p>"})


def under(files, folder):
    return {name.removeprefix(f"{folder}/"): content for name, content in files.items() if name.startswith(f"{folder}/")}


def test_each_folder_is_verified_and_signed_by_itself(tmp_path):
    pytest.importorskip("cryptography")
    files = folders_of(house(tmp_path / "house"))
    assert {name.partition("/")[0] for name in files} == set(FOLDERS)
    for folder in FOLDERS:
        place = tmp_path / folder
        write_folder(place, under(files, folder))
        assert verify_package(place).none
        key = ["--new-key"] if not (tmp_path / "key.pem").exists() else []
        assert CliRunner().invoke(cli, ["sign", str(place), "--key", str(tmp_path / "key.pem"), *key]).exit_code == 0
        assert CliRunner().invoke(cli, ["verify", str(place)]).exit_code == 0
        (place / "README.txt").write_text("another", "utf-8")
        done = CliRunner().invoke(cli, ["verify", str(place)])
        assert (done.exit_code, "changed  README.txt" in done.stdout) == (1, True)


def test_a_signed_folder_leaves_the_package_as_it_was_built_until_it_is_another(tmp_path):
    pytest.importorskip("cryptography")
    files = folders_of(house(tmp_path / "house"))
    whole = {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}
    rows = [{"path": name, "bytes": 1, "sha256": digest} for name, digest in whole.items()]
    manifest = json.dumps({"program": "permitgen", "fingerprint": "0", "outputs": rows}).encode()
    package = tmp_path / "package"
    write_folder(package, {**files, "manifest.json": manifest})
    owner = package / "record_owner"
    assert CliRunner().invoke(cli, ["sign", str(owner), "--key", str(tmp_path / "key.pem"), "--new-key"]).exit_code == 0
    assert verify_package(package).none
    write_folder(package, {**files, "manifest.json": manifest})
    assert (owner / "manifest.json.sig").exists()
    changed = json.loads(files["record_owner/manifest.json"]) | {"version": "next"}
    other = json.dumps(changed).encode()
    rows = [row | ({"sha256": hashlib.sha256(other).hexdigest()} if row["path"] == "record_owner/manifest.json" else {}) for row in rows]
    manifest = json.dumps({"program": "permitgen", "fingerprint": "0", "outputs": rows}).encode()
    write_folder(package, {**files, "record_owner/manifest.json": other, "manifest.json": manifest})
    assert not list(package.rglob("*.sig"))
    assert verify_package(package).none


def test_the_manifest_of_the_public_folder_tells_nobody_who_lives_there(tmp_path):
    files = folders_of(house(tmp_path / "house"))
    text = files["record/manifest.json"].decode()
    for private in ("Quillfern", "Wrenfield", "HB-0142", PHOTO.file, "project.yaml"):
        assert private not in text


def test_the_electrician_has_everything(tmp_path):
    folder = house(tmp_path / "house")
    files = under(folders_of(folder), "record_professional")
    for name in ("project.yaml", "revisions/0.yaml", "approved/1.yaml", "approved/1-stamped.pdf", "attachments/battery_unit.pdf"):
        assert files[f"project/{name}"] == (folder / name).read_bytes()
    assert files["documents/placard.pdf"] == b"%PDF-"
    assert any(name.startswith("project/field/") for name in files)
    assert 'id="torque"' in files["electrician.html"].decode()
    owner = under(folders_of(folder), "record_owner")
    assert 'id="electrician"' not in owner["index.html"].decode()
    assert not {"electrician.html", "calculations.html"} & set(owner)
    assert not [name for name in owner if name.startswith(("project/", "documents/"))]


@pytest.mark.nightly
def test_photos_stand_beside_their_line_and_can_be_withdrawn(tmp_path):
    files = folders_of(house(tmp_path / "shown"))
    for folder in ("record_owner", "record_professional"):
        assert files[f"{folder}/{PHOTO.path}"] == PICTURE
        assert f'src="{PHOTO.path}"' in pages_of(files, folder)
    assert not [name for name in files if name.startswith("record/") and PHOTO.file.encode() in files[name]]
    files = folders_of(house(tmp_path / "withdrawn", WITHDRAWN))
    assert not [name for name in files if name.endswith(PHOTO.file)]
    page = pages_of(files, "record_professional")
    assert f'src="{PHOTO.path}"' not in page
    assert "withdrawn 2026-05-20 by Bo Quill: shows the owner" in page
    assert not [name for name in files if name.startswith("record/") and b"shows the owner" in files[name]]


def test_a_photo_that_was_changed_is_not_shown_as_if_it_were_the_one(tmp_path):
    files = folders_of(house(tmp_path / "house", picture=b"another"))
    assert not [name for name in files if name.endswith(PHOTO.file)]


def test_what_was_never_there_cannot_be_withdrawn(tmp_path):
    folder = house(tmp_path / "house", WITHDRAWN.replace("MID-open", "MID-closed"))
    with pytest.raises(ProblemsError, match="field/ has no photo"):
        open_project(folder)


def test_telephone_numbers_are_dialed_with_one_tap(tmp_path):
    files = folders_of(house(tmp_path / "house"))
    assert 'service desk, <a href="tel:5550199">555-0199</a>' in files["record/index.html"].decode()
    assert '<a href="tel:5550117">555-0117</a>' in files["record_owner/index.html"].decode()
    assert b"5550117" not in b"".join(content for name, content in files.items() if name.startswith("record/"))


def test_what_stands_around_a_number_stays_text():
    assert telephone_links('Desk <b> & "x" +1 (555) 010-0199, room 7') == (
        'Desk &lt;b&gt; &amp; &#34;x&#34; <a href="tel:+15550100199">+1 (555) 010-0199</a>, room 7'
    )
    assert telephone_links("nobody") == "nobody"
