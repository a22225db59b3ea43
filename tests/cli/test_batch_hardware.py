"""``permitgen batch --hardware``: what a corrected data sheet changes is what it changes when the entry is corrected by hand."""

import json

import pytest

from tests.cli.in_process import ROOT, run

SMALL = (ROOT / "tests" / "cli" / "small_house.yaml").read_text("utf-8")
BATTERY = "battery: {kind: energy_storage_system, output: 24 A,"
# The battery's data sheet is corrected: 32 A need 40 A (125 %, 706.30(A)), and the house has a 30 A breaker on 10 AWG.
CORRECTED = "battery: {kind: energy_storage_system, output: 32 A,"
ENTRY = next(line for line in SMALL.splitlines() if BATTERY in line)
FILE = f"format: hardware 1\ncatalog:\n{ENTRY.replace(BATTERY, CORRECTED)}\n"


def house(folder, text=SMALL):
    folder.mkdir(parents=True)
    (folder / "project.yaml").write_text(text, "utf-8")
    return folder


def rows(shelf):
    return {row["file"].split("/")[0]: row for row in json.loads((shelf / "shelf_summary" / "shelf.json").read_text("utf-8"))["projects"]}


def violated(project):
    return {f["id"] for f in json.loads(run("check", project, "--format", "json").stdout)["findings"] if f["verdict"] == "violated"}


@pytest.fixture
def shelf(tmp_path):
    """Four houses: the entry in the project's own catalog, in a shared file, of another kind, and one that uses none of that name."""
    shelf = tmp_path / "shelf"
    house(shelf / "own")
    (tmp_path / "company.yaml").write_text(f"format: hardware 1\ncatalog:\n{ENTRY}\n", "utf-8")
    house(shelf / "shared", SMALL.replace(f"{ENTRY}\n", "").replace("catalog:\n", "hardware: ../../company.yaml\ncatalog:\n", 1))
    house(shelf / "other", SMALL.replace("module: {kind", "battery: {kind").replace("module: module", "module: battery").replace(
        ENTRY, ENTRY.replace("battery:", "store:")).replace("ESS1: {catalog: battery}", "ESS1: {catalog: store}"))  # fmt: skip
    house(shelf / "none", SMALL.replace("battery:", "store:").replace("catalog: battery", "catalog: store"))
    (tmp_path / "new.yaml").write_text(FILE, "utf-8")
    return shelf


def test_each_project_is_compared_with_itself_under_the_corrected_entry(shelf, tmp_path):
    before = {path: path.read_bytes() for path in shelf.rglob("*") if path.is_file()}
    done = run("batch", "shelf", "--hardware", "new.yaml", folder=tmp_path)
    found = rows(shelf)
    by_hand = house(tmp_path / "by_hand", SMALL.replace(BATTERY, CORRECTED))
    new = violated(by_hand) - violated(shelf / "own")
    assert new
    assert (found["own"]["new_violations"], found["shared"]["new_violations"]) == (len(new), len(new))
    assert done.returncode == 1
    for name in ("other", "none"):
        assert (found[name]["changes"], found[name]["outcome"]) == ([], "done")
    assert {path: path.read_bytes() for path in before} == before
    assert sorted(path.name for path in shelf.rglob("*") if path.is_file() and path not in before) == [
        "shelf.csv", "shelf.html", "shelf.json", "shelf.kept.jsonl"]  # fmt: skip


def test_each_row_says_what_was_taken_in_place_of_what(shelf, tmp_path):
    done = run("batch", "shelf", "--hardware", "new.yaml", folder=tmp_path)
    found = {name: " ".join(row["messages"]) for name, row in rows(shelf).items()}
    line = SMALL.splitlines().index(ENTRY) + 1
    assert found["own"] == f"battery: taken from new.yaml:3:3 in place of own/project.yaml:{line}:3; other: output"
    assert found["shared"] == "battery: taken from new.yaml:3:3 in place of shared/../../company.yaml:3:3; other: output"
    assert "energy_storage_system in new.yaml:3:3, but module in other/project.yaml" in found["other"]
    assert found["none"] == "uses no entry of new.yaml; it changes nothing here"
    assert "as permitted under its own hardware; nothing was revisited on site" in done.stdout
    note = (shelf / "shelf_summary" / "shelf.html").read_text("utf-8")
    assert "as permitted under its own hardware; nothing was revisited on site" in note


def test_the_same_entry_changes_nothing_and_says_so(shelf, tmp_path):
    (tmp_path / "new.yaml").write_text(FILE.replace(CORRECTED, BATTERY), "utf-8")
    done = run("batch", "shelf", "--hardware", "new.yaml", folder=tmp_path)
    assert done.returncode == 0
    assert all(row["changes"] == [] for row in rows(shelf).values())
    assert rows(shelf)["own"]["messages"][0].endswith("; the same there")


@pytest.mark.usefixtures("shelf")
def test_another_data_sheet_is_asked_anew(tmp_path):
    run("batch", "shelf", "--hardware", "new.yaml", folder=tmp_path)
    assert "4 of them passed over" in run("batch", "shelf", "--hardware", "new.yaml", folder=tmp_path).stdout
    (tmp_path / "new.yaml").write_text(FILE.replace("32 A", "33 A"), "utf-8")
    assert "passed over" not in run("batch", "shelf", "--hardware", "new.yaml", folder=tmp_path).stdout


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (None, "new.yaml:1:1: "),
        ("catalog: {}\n", 'new.yaml:1:1: this is no hardware file; its first line that is no comment has to be "format: hardware 1"'),
        (FILE.replace("32 A", "32 V"), "new.yaml:3:"),
        (FILE.replace("output", "outputt"), 'new.yaml:3:42: catalog.battery.outputt: unknown key "outputt"'),
    ],
    ids=["no file", "no hardware file", "a wrong unit", "a misspelt key"],
)
def test_a_bad_file_is_one_message_once_and_nothing_is_written(shelf, tmp_path, content, message):
    (tmp_path / "new.yaml").unlink()
    if content is not None:
        (tmp_path / "new.yaml").write_text(content, "utf-8")
    done = run("batch", "shelf", "--hardware", "new.yaml", folder=tmp_path)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert done.stderr.startswith(message)
    assert not (shelf / "shelf_summary").exists()


def test_an_ordinance_that_is_for_another_edition_hides_nothing_that_the_hardware_changes(shelf, tmp_path):
    (tmp_path / "local.yaml").write_text(
        "ordinance: {name: Fernhollow Ordinance 24-7, date: 2024-03-01}\nservice_minimum_rating:\n  2017: {one_family_a: 225}\n", "utf-8"
    )
    done = run("batch", "shelf", "--hardware", "new.yaml", "--amendments", "local.yaml", folder=tmp_path)
    own = rows(shelf)["own"]
    assert own["new_violations"]
    assert "it changes nothing here" in own["messages"][1]
    assert "own edition and hardware; nothing was revisited" in done.stdout
