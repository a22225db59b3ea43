"""``permitgen find``: every place is one where the words stand in the file (counted here line by line), contacts only where asked for."""

import json
import shutil

import pytest

from permitgen.views.found import answers
from tests.cli.in_process import ROOT, run

SMALL = (ROOT / "tests" / "cli" / "small_house.yaml").read_text("utf-8")


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    """The demo house with its package, a small house, one whose project would not build, and one that is no YAML."""
    shelf = tmp_path_factory.mktemp("shelf")
    shutil.copytree(ROOT / "demo_project", shelf / "demo", ignore=shutil.ignore_patterns("package", "submission"))
    texts = {"small": SMALL, "broken": SMALL.replace("edition: 2023", "edition: 1066")}
    for name, text in texts.items():
        (shelf / name).mkdir()
        (shelf / name / "project.yaml").write_text(text, "utf-8")
    run("build", "small", "--only", "labels", folder=shelf)
    return shelf


def found(shelf, *arguments):
    done = run("find", shelf, *arguments, "--format", "json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def line_of(shelf, thing):
    return (shelf / thing["file"]).read_text("utf-8").splitlines()[thing["line"] - 1]


# What says whether a thing answers: words as people type them against what a file says.
ANSWERS = [
    ("60A 2P 10kA", ["60A", "2P"], True),
    ("60 A, 2P", ["60A"], True),
    ("2P 60A", ["60 a"], True),
    ("160 A", ["60A"], False),
    ("60.5 A", ["60"], False),
    ("1.60 A", ["60A"], False),
    ("C12", ["C1"], False),
    ("MSP.2", ["MSP"], False),
    ("MSP.2", ["MSP*"], True),
    ("panel-200-40", ["panel-200"], False),
    ("panel-200-40", ["panel-*"], True),
    ("KITCHEN RECEPTACLES", ["kitchen receptacles"], True),
    ("RECEPTACLES, KITCHEN", ["kitchen receptacles"], False),
    ("RECEPTACLES, KITCHEN", ["kitchen", "receptacles"], True),
    ("a.b", ["a+b"], False),
]


@pytest.mark.parametrize(("says", "words", "expected"), ANSWERS)
def test_words_count_as_whole_words(says, words, expected):
    assert answers(says, words) is expected


def test_a_battery_is_found_where_it_stands(shelf):
    things = [thing for thing in found(shelf, "energy_storage_system", "12.4 kWh") if thing["kind"] == "equipment"]
    lines = {thing["file"].split("/")[-2]: line_of(shelf, thing) for thing in things}
    assert lines["small"] == lines["broken"] == "  ESS1: {catalog: battery}"
    assert set(lines) == {"small", "broken", "demo"}  # `energy: 12.4 kWh` stands in the catalog of two, in a hardware file of the demo
    assert lines["demo"] in ("  ESS1:", "  ESS2:")


def test_a_device_is_found_at_its_circuit_and_in_its_directory(shelf):
    at_circuits = found(shelf, "30A", "2P", "--only", "device")
    for thing in at_circuits:
        assert "30" in line_of(shelf, thing)
        assert "2P" in line_of(shelf, thing)
    text = (shelf / "demo" / "project.yaml").read_text("utf-8").splitlines()
    written = {number for number, line in enumerate(text, 1) if "30A 2P" in line}
    assert written
    assert written <= {thing["line"] for thing in at_circuits if "/demo/" in thing["file"]}


def test_the_catalog_entry_and_the_tag_are_looked_through(shelf):
    assert {thing["tag"].split()[0] for thing in found(shelf, "ESS1", "--only", "equipment") if "/small/" in thing["file"]} == {"ESS1"}
    (thing,) = [thing for thing in found(shelf, "catalog panel", "--only", "equipment") if "/small/" in thing["file"]]
    assert thing["place"] == "garage wall"


def test_a_printed_label_is_found_by_its_words_and_by_its_id(shelf):
    """The words are read back from the drawing that was printed."""
    manifest = json.loads((shelf / "small" / "package" / "manifest.json").read_text("utf-8"))
    label = next(row for row in manifest["documents"] if row["kind"] == "label")
    by_id = found(shelf, label["document_id"])
    assert {thing["kind"] for thing in by_id} == {"label printed"}
    drawing = (shelf / by_id[0]["file"]).read_text("utf-8")
    assert "<text" in drawing
    words = drawing.split("</text>")[0].rsplit(">", 1)[1]
    assert by_id[0]["file"] in {thing["file"] for thing in found(shelf, words, "--only", "label printed")}


def test_contacts_are_printed_only_where_asked_for(tmp_path):
    owner = "{role: owner, name: Ruth Ambley, phone: 555-0131}"
    people = f"project:\n  people:\n    - {owner}\n    - {{role: designer, name: P. Hollin, phone: 555-0163}}\n"
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "project.yaml").write_text(SMALL.replace("project:\n", people, 1), "utf-8")
    without, with_them = (run("find", tmp_path, "ESS1", *more) for more in ([], ["--contacts"]))
    assert "Ambley" not in without.stdout + without.stderr
    assert "555" not in without.stdout
    assert "owner, Ruth Ambley, 555-0131" in with_them.stdout
    assert "Hollin" not in with_them.stdout
    assert "0 things" in run("find", tmp_path, "Ambley").stdout


def test_a_file_that_cannot_be_read_is_reported_and_passed_over(shelf, tmp_path):
    (tmp_path / "bad").mkdir()
    (tmp_path / "bad" / "project.yaml").write_text("a: [", "utf-8")
    shutil.copytree(shelf / "small", tmp_path / "small")
    done = run("find", tmp_path, "ESS1")
    assert done.returncode == 2
    assert "bad/project.yaml:" in done.stderr
    assert "small/project.yaml:" in done.stdout


def test_a_foreign_package_says_nothing(tmp_path):
    (tmp_path / "a" / "package").mkdir(parents=True)
    (tmp_path / "a" / "project.yaml").write_text(SMALL, "utf-8")
    outside = tmp_path / "outside.svg"
    outside.write_text("<text x='1'>SECRET</text>", "utf-8")
    entry = {"path": "../../outside.svg", "sha256": "0" * 64, "document_ids": ["X"]}
    manifest = {"program": "permitgen", "fingerprint": "", "outputs": [entry], "documents": [{"kind": "label", "document_id": "X"}]}
    (tmp_path / "a" / "package" / "manifest.json").write_text(json.dumps(manifest), "utf-8")
    assert "0 things" in run("find", tmp_path, "SECRET").stdout


@pytest.mark.parametrize("arguments", [["nowhere", "x"], [".", "*"], ["."]], ids=" ".join)
def test_what_cannot_be_asked_is_status_2(tmp_path, arguments):
    assert run("find", *arguments, folder=tmp_path).returncode == 2


BATTERY = next(line for line in SMALL.splitlines() if line.startswith("  battery: "))
DESCRIBED = f"format: hardware 1\ncatalog:\n{BATTERY.replace('{kind', '{name: Cellar 12, kind')}\n"


def described_elsewhere(folder, hardware, files):
    """Write a house whose battery is described in a hardware file."""
    text = SMALL.replace(f"{BATTERY}\n", "").replace("catalog:\n", f"hardware: {hardware}\ncatalog:\n", 1)
    for name, content in {"house/project.yaml": text, **files}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(content, "utf-8")


@pytest.mark.parametrize(
    ("hardware", "file"),
    [("own.yaml", "house/own.yaml"), ("[parts]", "house/parts/a.yaml"), ("../company.yaml", "company.yaml")],
)
def test_equipment_is_found_by_the_words_of_its_hardware_file(tmp_path, hardware, file):
    described_elsewhere(tmp_path, hardware, {file: DESCRIBED})
    for words in (["12.4 kWh"], ["cellar 12"], ["ESS1", "24A", "interactive"]):
        (thing,) = found(tmp_path, *words, "--only", "equipment")
        assert (thing["file"], thing["tag"]) == (f"{tmp_path}/house/project.yaml", "ESS1")
        assert "ESS1: {catalog: battery}" in line_of(tmp_path, thing)


def test_hardware_files_are_named_as_the_project_reads_them(tmp_path):
    """A list may stand on one line with commas between; the project builds with it."""
    other = "format: hardware 1\ncatalog:\n  box: {kind: junction_box}\n"
    described_elsewhere(tmp_path, "../company.yaml, own.yaml", {"house/own.yaml": DESCRIBED, "company.yaml": other})
    assert [thing["tag"] for thing in found(tmp_path, "cellar 12", "--only", "equipment")] == ["ESS1"]
    assert run("check", "house", folder=tmp_path).returncode in (0, 1)


def test_equipment_is_found_by_the_words_of_the_module_that_it_names(tmp_path):
    described_elsewhere(tmp_path, "own.yaml", {"house/own.yaml": DESCRIBED})
    assert [thing["tag"] for thing in found(tmp_path, "37.2 V", "--only", "equipment")] == ["PV1"]


@pytest.mark.parametrize(
    ("files", "message"),
    [
        ({}, "house/project.yaml:9:11: "),
        ({"house/own.yaml": "x: 1\n"}, "house/own.yaml:1:1: "),
        ({"house/own.yaml": "{"}, "house/own.yaml:1:1"),
    ],
)
def test_a_hardware_file_that_cannot_be_read_is_reported_and_the_rest_is_found(tmp_path, files, message):
    described_elsewhere(tmp_path, "own.yaml", files)
    done = run("find", tmp_path, "garage wall", "--only", "equipment", folder=tmp_path)
    assert done.returncode == 2
    assert message in done.stderr
    assert "equipment MSP" in done.stdout


def test_a_device_told_by_keys_is_found_as_its_handle_is_marked(tmp_path):
    """What ``new`` writes: rating and poles, each a key of its own."""
    (tmp_path / "job").mkdir()
    text = SMALL.replace("to_end: 2P 20 A", "to_end: {rating: 20 A, poles: 2, interrupting_rating: 10 kA}")
    assert text != SMALL
    (tmp_path / "job" / "project.yaml").write_text(text, "utf-8")
    assert "device C1" in run("find", tmp_path, "20A", "2P", "--only", "device").stdout
    assert "device C1" in run("find", tmp_path, "2P 20A", "--only", "device").stdout
    assert "device C1" not in run("find", tmp_path, "20A", "1P", "--only", "device").stdout
