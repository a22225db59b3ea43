"""Documents that are kept are never stale: a package built over an older one is, byte for byte, the one built into an empty folder.

No expected value comes from running the program twice the same way: the fresh package draws everything, the other keeps what it can.
"""

import io
import json
import re
import shutil
import tomllib
from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path

import pypdf
import pytest
from PIL import Image

from permitgen.package.build import build_package
from permitgen.package.documents import DOCUMENTS
from permitgen.package.opened_project import open_project
from permitgen.package.program_digest import LIBRARIES
from permitgen.views.document_id import BESIDE
from permitgen.views.view_digest import NotPlainError, digest_of_view
from tests.cli.in_process import ROOT, run
from tests.documents.projects import PROJECTS

TOPOLOGY = ROOT / "tests" / "topologies" / "b01_pv_load_side.yaml"
KEPT_BY_VIEW = [document.name for document in DOCUMENTS if document.shows is not None]
DRAWN = tuple(
    dict.fromkeys(d.asked_as for d in DOCUMENTS if d.shows is not None and d.name not in ("derivations_paper", "engraving", "field_limits"))
)
OF_THE_INPUTS = ("field_checklist", "findings", "project_file")
"""What carries the digest of all inputs home, names lines of the file, or is a copy of it: each change of a file shows there."""
OF_WORDS = [name for name in KEPT_BY_VIEW if name not in OF_THE_INPUTS]
BESIDE_PAPERS = ["labels", "placard", "derivations", "material_list", "hanging_plan", "field_checklist_paper", "inspector_card"]
"""What says nothing of attachments and photos: the README's table of the package."""
FERNHOLLOW = "ordinance: {name: Fernhollow Ordinance 24-7, date: 2024-03-01}\nservice_minimum_rating:\n  2023: {one_family_a: 225}\n"


def _pdf(pages):
    writer = pypdf.PdfWriter()
    for _page in range(pages):
        writer.add_blank_page(612, 792)
    content = io.BytesIO()
    writer.write(content)
    return content.getvalue()


def _photo(color):
    content = io.BytesIO()
    Image.new("RGB", (40, 30), color).save(content, "JPEG")
    return content.getvalue()


def _replaced(file, old, new):
    def change(folder):
        text = (folder / file).read_text("utf-8")
        assert old in text
        (folder / file).write_text(text.replace(old, new, 1), "utf-8")

    return change


def _written(file, content):
    def change(folder):
        (folder / file).parent.mkdir(exist_ok=True)
        assert not (folder / file).exists() or (folder / file).read_bytes() != content
        (folder / file).write_bytes(content)

    return change


def _own_template(folder):
    """A template of one's own with another style."""
    (folder / "templates").mkdir()
    text = (ROOT / "templates" / "derivations.css").read_text("utf-8")
    (folder / "templates" / "derivations.css").write_text(text + "h1{color:red}\n", "utf-8")


def _own_label(folder):
    (folder / "label_specs").mkdir()
    text = (ROOT / "label_specs" / "service-disconnect.yaml").read_text("utf-8")
    assert "name: " in text
    (folder / "label_specs" / "service-disconnect.yaml").write_text(text.replace("name: ", "name: Own ", 1), "utf-8")


# What changes, and documents that it does not touch: what each is about says its own line of the README.
# The suite takes every third, the night all.
CHANGES = {
    "a rating": (_replaced("project.yaml", "isc: 12 A", "isc: 12.1 A"), []),
    "a violation": (_replaced("project.yaml", "isc: 12 A", "isc: 40 A"), []),
    "the fire class of the roof": (_replaced("project.yaml", "roof_fire_class: A", "roof_fire_class: C"), []),
    "the name of the project": (_replaced("project.yaml", "name: PV on the load side", "name: Another"), []),
    "a comment": (_replaced("project.yaml", "# B1", "# Bee one"), OF_WORDS),
    "an attachment": (_written("letter.pdf", _pdf(2)), [*BESIDE_PAPERS, "site_photos"]),
    "a photo": (_written("photo.jpg", _photo("blue")), BESIDE_PAPERS),
    "a template": (_own_template, []),
    "a label specification": (_own_label, ["derivations"]),
    "an ordinance": (_replaced("local.yaml", "one_family_a: 225", "one_family_a: 300"), []),
}


@pytest.fixture(scope="module")
def first(tmp_path_factory):
    """A project with an ordinance, an attachment and a photo, and its package."""
    folder = tmp_path_factory.mktemp("first")
    text = TOPOLOGY.read_text("utf-8").replace("edition: 2023", "edition: 2023, amendments: [local.yaml]", 1)
    attached = "attachments: [{title: Letter, file: letter.pdf}, {title: Meter, file: photo.jpg}]\n"
    (folder / "project.yaml").write_text(f"{text}{attached}", "utf-8")
    (folder / "local.yaml").write_text(FERNHOLLOW, "utf-8")
    (folder / "letter.pdf").write_bytes(_pdf(1))
    (folder / "photo.jpg").write_bytes(_photo("red"))
    build_package(open_project(folder), folder / "package", only=DRAWN)
    return folder


def contents(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def state(folder):
    return {path.relative_to(folder).as_posix(): (path.stat().st_ino, path.stat().st_mtime_ns) for path in (folder, *folder.rglob("*"))}


@pytest.mark.sample(every=12)
@pytest.mark.parametrize("change", CHANGES)
def test_what_is_kept_is_what_would_be_drawn(first, tmp_path, change):
    make, untouched = CHANGES[change]
    folder = tmp_path / "project"
    shutil.copytree(first, folder)
    make(folder)
    over = build_package(open_project(folder), folder / "package", only=DRAWN)
    fresh = build_package(open_project(folder), tmp_path / "fresh", only=DRAWN)
    assert not over.is_unchanged
    assert fresh.kept == ()
    assert contents(folder / "package") == contents(tmp_path / "fresh")
    assert {d.name for d in DOCUMENTS if d.name in untouched and d.asked_as in DRAWN} <= set(over.kept)
    assert not set(over.kept) & {"field_checklist", "findings"}


@pytest.mark.nightly
def test_a_package_is_the_same_however_its_project_is_named(first, tmp_path, monkeypatch):
    monkeypatch.chdir(first)
    for number, named in enumerate((first, Path("project.yaml"), Path())):
        build_package(open_project(named), tmp_path / str(number), only=("derivations", "plan_set", "placard"))
    assert contents(tmp_path / "0") == contents(tmp_path / "1") == contents(tmp_path / "2")
    assert not [name for name, content in contents(tmp_path / "0").items() if str(first).encode() in content]


@pytest.mark.nightly
def test_another_program_draws_all_again(first, tmp_path, monkeypatch):
    folder = tmp_path / "project"
    shutil.copytree(first, folder)
    monkeypatch.setattr("permitgen.package.kept_documents.program_digest", lambda: "another")
    built = build_package(open_project(folder), folder / "package", only=DRAWN)
    assert (built.is_unchanged, built.kept) == (False, ())


@pytest.mark.nightly
def test_another_edition_is_another_package(first, tmp_path):
    folder = tmp_path / "project"
    shutil.copytree(first, folder)
    over = build_package(open_project(folder, edition="2020"), folder / "package", only=DRAWN)
    fresh = build_package(open_project(folder, edition="2020"), tmp_path / "fresh", only=DRAWN)
    assert not over.is_unchanged
    assert contents(folder / "package") == contents(tmp_path / "fresh")
    assert over.files == fresh.files


@pytest.mark.nightly
def test_a_file_that_somebody_touched_is_drawn_again(first, tmp_path):
    folder = tmp_path / "project"
    shutil.copytree(first, folder)
    before = contents(folder / "package")
    (folder / "package" / "labels.pdf").write_bytes(b"edited")
    (folder / "package" / "placard.svg").unlink()
    built = build_package(open_project(folder), folder / "package", only=DRAWN)
    after = contents(folder / "package")
    assert not built.is_unchanged
    assert {name: after[name] for name in before} == before
    assert [name for name in after if name not in before] == [new for _name, new in built.written.kept]


@pytest.mark.nightly
def test_a_second_build_writes_nothing_and_says_so(tmp_path):
    """The whole package, its submission too; and the batch of field results is an input."""
    folder = tmp_path / "project"
    folder.mkdir()
    text = TOPOLOGY.read_text("utf-8").replace("edition: 2023", "edition: 2023, submission: {names: '{document}'}", 1)
    (folder / "project.yaml").write_text(text, "utf-8")
    first = run("build", folder)
    before = state(tmp_path)
    again = run("build", folder)
    assert again.returncode == first.returncode
    assert "nothing changed" in again.stdout
    assert "nothing was written" in again.stdout
    assert state(tmp_path) == before
    assert run("build", folder, "--only", "labels").stdout.count("nothing changed") == 1
    assert state(tmp_path) == before
    (folder / "submission" / "submission_log.pdf").unlink(missing_ok=True)
    next(path for path in (folder / "submission").iterdir() if path.name != "manifest.json").write_bytes(b"")
    assert "nothing changed" not in run("build", folder).stdout
    assert "nothing changed" in run("build", folder).stdout


@pytest.mark.nightly
@pytest.mark.parametrize("only", [("labels",), pytest.param(("labels", "record"), marks=pytest.mark.nightly)], ids="+".join)
def test_a_field_batch_is_an_input(tmp_path, only):
    """Labels do not show it and stay; the package is another, and the record follows."""
    folder = tmp_path / "project"
    shutil.copytree(ROOT / "demo_project", folder, ignore=shutil.ignore_patterns("package", "submission"))
    batches = sorted((folder / "field").glob("*.json"))
    assert batches
    aside = batches[-1].read_bytes()
    batches[-1].unlink()
    build_package(open_project(folder), folder / "package", only=only)
    batches[-1].write_bytes(aside)
    over = build_package(open_project(folder), folder / "package", only=only)
    build_package(open_project(folder), tmp_path / "fresh", only=only)
    assert not over.is_unchanged
    assert over.kept == ("labels",)
    assert contents(folder / "package") == contents(tmp_path / "fresh")


def test_the_libraries_that_count_are_those_that_the_program_needs():
    stated = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    needed = [*stated["dependencies"], *stated["optional-dependencies"]["dxf"]]
    assert sorted(LIBRARIES) == sorted(re.match(r"[A-Za-z0-9_.-]+", name)[0] for name in needed)


def test_every_view_can_be_told_from_others(projects, whole):
    """Where it could not, its document would be drawn each time, and nobody would notice but by the clock."""
    for name in PROJECTS if whole else list(PROJECTS)[::23]:
        opened = projects[name]
        for document in DOCUMENTS:
            if document.shows is not None:
                assert len(digest_of_view(document.shows(opened))) == 64, (name, document.name)


class Ink(Enum):
    BLACK = "black"
    RED = "red"


@dataclass(frozen=True)
class Line:
    text: str
    height: float = 1.0
    beside: str = field(default="", metadata=BESIDE)


@dataclass(frozen=True)
class OtherLine:
    text: str
    height: float = 1.0
    beside: str = ""


DIFFERENT = [
    "a", "b", "", b"a", 1, 1.0, True, None, 0.1 + 0.2, 0.3, -0.0, 0.0, Ink.BLACK, Ink.RED, (), ("a",), ("a", "b"), (("a",), "b"), ("ab",),
    {"a": 1}, {"a": 2}, {"b": 1}, {"a": 1, "b": 2}, {"b": 2, "a": 1}, frozenset("a"), frozenset("ab"),
    Line("a"), Line("b"), Line("a", 2.0), Line("a", 1.0, "x"), OtherLine("a"), (Line("a"), Line("a")),
]  # fmt: skip


def test_different_things_have_different_digests():
    assert len({digest_of_view(thing) for thing in DIFFERENT}) == len(DIFFERENT)


def test_equal_things_have_one_digest():
    assert digest_of_view((Line("a"), Line("a"))) == digest_of_view(tuple(Line("".join(["a"])) for _ in range(2)))
    assert digest_of_view({"x", "y", "z"}) == digest_of_view({"z", "y", "x"})


@pytest.mark.parametrize("thing", [object(), len, lambda: 1, (1, object())])
def test_what_is_no_plain_data_is_refused(thing):
    with pytest.raises(NotPlainError):
        digest_of_view(thing)


def test_the_manifest_says_what_was_drawn_from_what(first):
    manifest = json.loads((first / "package" / "manifest.json").read_text("utf-8"))
    files = [name for row in manifest["drawn"] for name in row["files"]]
    assert sorted(files) == [entry["path"] for entry in manifest["outputs"]]
    assert {row["name"] for row in manifest["drawn"] if row["from"]} == {d.name for d in DOCUMENTS if d.asked_as in DRAWN}
