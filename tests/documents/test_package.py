"""The whole package: same input, same bytes; hostile text stays text; everything the manifest says; no private thing in the open."""

import hashlib
import html
import io
import json
import os
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import pypdfium2
import pytest

from permitgen.package.build import build_package
from permitgen.package.opened_project import open_project
from permitgen.package.verify import verify_package
from tests.cli.in_process import run

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_project"
SMALL = ROOT / "tests" / "cli" / "small_house.yaml"
HOSTILE = "House {{ 7*7 }} <script>alert(1)</script> & ]]> {% raw %}"


def _build(folder, out, *, cwd, seed):
    environment = {**os.environ, "PYTHONHASHSEED": seed, "SOURCE_DATE_EPOCH": "1700000000"}
    done = subprocess.run(
        [sys.executable, "-m", "permitgen", "build", str(folder), "--out", str(out)],
        cwd=cwd,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode in (0, 1), done.stderr
    return {p.relative_to(out).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest() for p in sorted(out.rglob("*")) if p.is_file()}


@pytest.mark.nightly
def test_two_builds_give_identical_bytes(demo_package, tmp_path, whole):
    """Other folder, other way of naming the project, other hash seed, a source date in the environment; by night from other places."""
    first = {name: hashlib.sha256(content).hexdigest() for name, content in demo_package.items()}
    assert _build("demo_project/project.yaml", tmp_path / "one", cwd=ROOT, seed="77") == first
    if whole:
        assert _build(DEMO, tmp_path / "two", cwd=ROOT, seed="1") == first
        assert _build("project.yaml", tmp_path / "three", cwd=DEMO, seed="4") == first


def test_a_package_holds_the_file_it_was_made_from(demo_package):
    assert demo_package["project_file/project.yaml"] == (DEMO / "project.yaml").read_bytes()


def test_demo_builds_without_violation():
    done = run("check", "demo_project")
    assert done.returncode == 0, done.stdout[-2000:]


# The name of the project, and that of a thing: the public record keeps the project's name to itself.
NAMES = {
    "small": (SMALL, "name: Small house", "name: Main panel"),
    "demo": (DEMO / "project.yaml", "name: Quillfern Lane backup system", "name: Battery unit 1"),
}


@pytest.fixture(scope="module", params=["small", pytest.param("demo", marks=pytest.mark.nightly)])
def hostile_package(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("hostile")
    file, *names = NAMES[request.param]
    text = file.read_text("utf-8")
    for name in names:
        assert name in text
        text = text.replace(name, f"name: '{HOSTILE}'", 1)
    (folder / "project.yaml").write_text(text, "utf-8")
    if request.param == "demo":
        for name in ("approved", "attachments", "forms", "hardware", "places", "revisions"):  # files that the project names
            shutil.copytree(DEMO / name, folder / name)
    return build_package(open_project(folder), folder / "package").files


def _pdf_text(content):
    document = pypdfium2.PdfDocument(content)
    return " ".join(page.get_textpage().get_text_range() for page in document)


def _docx_text(content):
    archive = zipfile.ZipFile(io.BytesIO(content))
    found = []
    for name in archive.namelist():
        if name.endswith(".xml"):
            found += ["".join(ElementTree.fromstring(archive.read(name)).itertext())]
    return " ".join(found)


def _everything(name, content):
    """Every word of a file: what is printed, the names and values of its metadata, the text of its parts."""
    if name.endswith(".pdf"):
        document = pypdfium2.PdfDocument(content)
        return " ".join([_pdf_text(content), *document.get_metadata_dict().values()])
    return _docx_text(content) if name.endswith(".docx") else content.decode("utf-8", "ignore")


def _squeezed(text):
    return re.sub(r"\s+", "", text)


def test_hostile_text_appears_as_that_text(hostile_package):
    wanted = _squeezed(HOSTILE)
    seen = {}
    for name, content in hostile_package.items():
        if name.endswith(".pdf") and "/" not in name:
            seen[name] = wanted in _squeezed(_pdf_text(content))
        elif name.endswith(".docx"):
            seen[name] = wanted in _squeezed(_docx_text(content))
        elif re.fullmatch(r"record(_professional)?/(index|electrician|calculations)\.html", name) or name == "field_checklist.html":
            text = content.decode()
            assert "<script>alert(1)" not in text
            seen[name] = wanted in _squeezed(html.unescape(re.sub(r"<[^>]*>", "", text))) or wanted in _squeezed(html.unescape(text))
        elif name.endswith(".svg"):
            ElementTree.fromstring(content)
    prints_name = {name: found for name, found in seen.items() if name not in ("placard.pdf", "panel_door.pdf")}
    assert prints_name
    assert all(prints_name.values()), [name for name, found in prints_name.items() if not found]
    assert "49" not in {word for word in _pdf_text(hostile_package["calculations.pdf"]).split() if word == "House49"}


def test_hostile_text_is_a_string_in_json(hostile_package):
    assert json.loads(hostile_package["findings.json"])["project"] == HOSTILE
    assert json.loads(hostile_package["manifest.json"])["project"]["name"] == HOSTILE


def test_documents_from_before_the_field_spoke_are_not_kept(tmp_path):
    """With ``--only``, what stands in the folder from other inputs goes: results from the field are inputs."""
    house = tmp_path / "house"
    shutil.copytree(DEMO, house, ignore=shutil.ignore_patterns("package"))
    build_package(open_project(house), tmp_path / "out", only=["findings"])
    assert "findings.json" in build_package(open_project(house), tmp_path / "out", only=["review_reply"]).files
    shutil.rmtree(house / "field")
    assert "findings.json" not in build_package(open_project(house), tmp_path / "out", only=["review_reply"]).files


def test_manifest_names_every_file_and_verify_sees_a_change(demo, tmp_path):
    folder = tmp_path / "package"
    files = build_package(demo, folder, only=["placard", "findings"]).files
    manifest = json.loads(files["manifest.json"])
    assert {entry["path"] for entry in manifest["outputs"]} == set(files) - {"manifest.json"}
    field = {f"field/{path.name}" for path in (DEMO / "field").glob("*.json")}
    assert field
    assert {entry["path"] for entry in manifest["inputs"]} >= {"project.yaml", *field}
    assert verify_package(folder).none
    (folder / "findings.json").write_text("{}")
    (folder / "extra.txt").write_text("x")
    found = verify_package(folder)
    assert (found.changed, found.added, found.missing) == (("findings.json",), ("extra.txt",), ())


def test_every_document_prints_the_ids_that_the_manifest_lists(hostile_package):
    manifest = json.loads(hostile_package["manifest.json"])
    listed = {entry["path"]: entry.get("document_ids", []) for entry in manifest["outputs"]}
    for name in ("calculations.pdf", "plan_set.pdf", "placard.pdf", "labels.pdf", "field_checklist.pdf"):
        printed = _squeezed(_pdf_text(hostile_package[name]))
        assert listed[name], name
        assert all(f"DocumentID{own}" in printed or f"DocumentIDofthewholeset:{own}" in printed for own in listed[name]), name
    assert {own for ids in listed.values() for own in ids} == {each["document_id"] for each in manifest["documents"]}


def test_the_digest_of_the_inputs_is_for_machines_only(hostile_package):
    """In the manifest, in findings and in the form that carries it home with results; on no paper, in no metadata, in no record."""
    fingerprint = json.loads(hostile_package["manifest.json"])["fingerprint"]
    ways = (fingerprint[:8], " ".join(fingerprint[start : start + 4] for start in range(0, 8, 4)))
    for name, content in hostile_package.items():
        if name not in ("manifest.json", "findings.json", "field_checklist.html"):
            said = _everything(name, content)
            assert not any(way in said for way in ways), name


def test_one_document_again_keeps_the_others_of_the_same_inputs_only(demo, tmp_path):
    folder = tmp_path / "package"
    build_package(demo, folder, only=["placard"])
    build_package(demo, folder, only=["findings"])
    assert {path.name for path in folder.iterdir()} == {"placard.pdf", "placard.svg", "findings.json", "manifest.json"}
    assert verify_package(folder).none
    build_package(open_project(DEMO, edition="2020"), folder, only=["findings"])
    assert {path.name for path in folder.iterdir()} == {"findings.json", "manifest.json"}
