"""Hardware files: an entry is described once for all projects; what is wrong stands at its place in the hardware file."""

import json
from pathlib import Path

import pytest

from permitgen.package.listed import listed_in
from permitgen.package.opened_project import open_project
from permitgen.package.unread import unread_facts
from permitgen.views.cover import cover_of
from tests.cli.in_process import run

HOUSE = (Path(__file__).parent / "small_house.yaml").read_text("utf-8")
PANEL = "  panel: {kind: panelboard, name: Main panel, busbar: 200 A, main: 200 A, spaces: 40, supply_end: top}\n"
WITHOUT_PANEL = HOUSE.replace(PANEL, "")
FILE = f"format: hardware 1\ncatalog:\n{PANEL}"
CHECKED = FILE.replace("supply_end: top}", "supply_end: top, checked: {by: M. Tarn, date: 2026-01-12}}")
ENTRY = "  box: {kind: junction_box, volume: 60 in³}\n"


def house(tmp_path, files, hardware="hardware.yaml", *, text=WITHOUT_PANEL):
    """Write a house whose panel is described in a hardware file, and the files beside it."""
    folder = tmp_path / "jobs" / "house"
    folder.mkdir(parents=True)
    (folder / "project.yaml").write_text(text.replace("catalog:\n", f"hardware: {hardware}\ncatalog:\n", 1), "utf-8")
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, "utf-8")
    return folder


def told(opened):
    return {(f.id, f.verdict, f.judgement.message) for f in opened.evaluation.findings if f.rule != "hardware-checked"}


def test_a_house_is_judged_alike_wherever_its_hardware_is_described(tmp_path):
    inside = tmp_path / "whole.yaml"
    inside.write_text(HOUSE, "utf-8")
    assert told(open_project(house(tmp_path, {"hardware.yaml": CHECKED}))) == told(open_project(inside))


@pytest.mark.parametrize(
    ("hardware", "where", "kept"),
    [
        ("hardware.yaml", "hardware.yaml", "hardware.yaml"),
        ("[company]", "company/panels.yaml", "company/panels.yaml"),
        ("../../company/hardware", "../../company/hardware/panels.yaml", "company/hardware/panels.yaml"),
    ],
)
def test_files_and_folders_of_project_and_company_are_inputs_and_copied(tmp_path, hardware, where, kept):
    folder = house(tmp_path, {where: CHECKED}, hardware)
    assert run("build", folder, "--only", "project_file", "--out", tmp_path / "out").returncode in (0, 1)
    assert (tmp_path / "out" / "project_file" / kept).read_text("utf-8") == CHECKED
    manifest = json.loads((tmp_path / "out" / "manifest.json").read_text("utf-8"))
    assert where in {each["path"] for each in manifest["inputs"]}


def test_a_package_with_files_from_above_the_project_stays_a_package(tmp_path):
    """Each file that its manifest names lies in it, so that the next build knows it for its own."""
    folder = house(tmp_path, {"../../company/panels.yaml": CHECKED}, "../../company/panels.yaml")
    for _build in range(2):
        assert run("build", folder, "--only", "record").returncode in (0, 1)
    names = listed_in(folder / "package").outputs
    assert "record_professional/project/company/panels.yaml" in names


def test_a_change_of_the_hardware_makes_another_fingerprint(tmp_path):
    folder = house(tmp_path, {"hardware.yaml": CHECKED})
    before = open_project(folder).fingerprint
    (folder / "hardware.yaml").write_text(CHECKED.replace("spaces: 40", "spaces: 42"), "utf-8")
    assert open_project(folder).fingerprint != before


def test_an_entry_that_nobody_checked_is_a_caution_in_check_and_on_the_cover(tmp_path):
    opened = open_project(house(tmp_path, {"hardware.yaml": FILE}))
    found = opened.evaluation.by_id["hardware-checked:panel"]
    assert str(found.verdict) == "caution"
    assert found.at.file.endswith("house/hardware.yaml")
    assert (found.at.line, found.at.column) == (3, 10)
    assert any("not checked by a second person: panel." in each for each in cover_of(opened.evaluation).statements)


def test_a_checked_entry_passes_and_the_cover_is_silent(tmp_path):
    evaluation = open_project(house(tmp_path, {"hardware.yaml": CHECKED})).evaluation
    assert str(evaluation.by_id["hardware-checked:panel"].verdict) == "passes"
    assert not any("checked" in each for each in cover_of(evaluation).statements)


def test_a_figure_keeps_the_source_that_the_file_names(tmp_path):
    text = CHECKED.replace("supply_end: top", "supply_end: top, sources: {busbar: label inside the door}")
    system = open_project(house(tmp_path, {"hardware.yaml": text})).loaded.system
    assert system.busbars["MSP"].rating_a.origin.source == "label inside the door"


@pytest.mark.nightly
def test_what_a_project_does_not_use_is_no_fact_of_it(tmp_path):
    folder = house(tmp_path, {"hardware.yaml": CHECKED + ENTRY.replace("volume", "nonsense")})
    assert not [fact for fact in unread_facts(open_project(folder)) if "box" in fact.key or "checked" in fact.key]


MESSAGES = {
    "no such file": ({}, "hardware.yaml", 'project.yaml:9:11: hardware: there is no file "hardware.yaml" in the project folder'),
    "not a hardware file": (
        {"hardware.yaml": "secret: 17\n"},
        "hardware.yaml",
        'hardware.yaml:1:1: this is no hardware file; its first line that is no comment has to be "format: hardware 1"',
    ),
    "another file of the machine": ({}, "../../../../../etc/passwd", "leads more than 3 folders up"),
    "a file of another kind": ({}, "../../../etc/passwd", "is neither a folder nor a file that ends in .yaml"),
    "an absolute path": ({}, "/etc/hardware.yaml", "is an absolute path"),
    "a key of the top": (
        {"hardware.yaml": FILE + "catalogs: {}\n"},
        "hardware.yaml",
        'hardware.yaml:4:1: catalogs: unknown key "catalogs"',
    ),
    "a misspelt key": (
        {"hardware.yaml": FILE.replace("busbar", "busbra")},
        "hardware.yaml",
        'hardware.yaml:3:47: catalog.panel.busbra: unknown key "busbra"; did you mean "busbar"?',
    ),
    "a wrong unit": (
        {"hardware.yaml": FILE.replace("busbar: 200 A", "busbar: 200 V")},
        "hardware.yaml",
        "hardware.yaml:3:55: catalog.panel.busbar: ",
    ),
    "described twice in files": (
        {"a.yaml": FILE, "b.yaml": FILE},
        "[a.yaml, b.yaml]",
        'b.yaml:3:3: catalog.panel: "panel" is described in',
    ),
    "named twice": ({"a.yaml": FILE}, "[a.yaml, a.yaml]", 'project.yaml:9:20: hardware[2]: "a.yaml" is named twice'),
    "an empty folder": ({"company/readme.txt": "x"}, "company", "holds no file that ends in .yaml"),
    "no mapping": ({"hardware.yaml": "format: hardware 1\ncatalog: [panel]\n"}, "hardware.yaml", "expected a mapping of names to entries"),
    "a source of nothing": (
        {"hardware.yaml": FILE.replace("supply_end: top", "supply_end: top, sources: {busbra: label}")},
        "hardware.yaml",
        '"busbra" is no single figure of this entry; did you mean "busbar"?',
    ),
    "a source of a word": (
        {"hardware.yaml": FILE.replace("supply_end: top", "supply_end: top, sources: {supply_end: label}")},
        "hardware.yaml",
        '"supply_end" is no figure with a unit',
    ),
    "a name that nothing describes": (
        {"hardware.yaml": FILE.replace("  panel:", "  panels:")},
        "hardware.yaml",
        'equipment.MSP.catalog: neither the catalog nor a hardware file has an entry "panel"; did you mean "panels"?',
    ),
}


@pytest.mark.parametrize("case", MESSAGES)
def test_a_mistake_is_one_message_at_its_place(tmp_path, case):
    files, hardware, message = MESSAGES[case]
    result = run("check", house(tmp_path, files, hardware))
    assert result.returncode == 2, result.stdout
    assert message in result.stderr
    assert len(result.stderr.splitlines()) == 1, result.stderr
    assert "secret" not in result.stderr


def test_an_entry_in_the_catalog_of_the_project_too_is_a_message_there(tmp_path):
    result = run("check", house(tmp_path, {"hardware.yaml": FILE}, text=HOUSE))
    assert result.returncode == 2
    assert "project.yaml:11:3: catalog.panel: " in result.stderr
    assert "hardware.yaml:3:3 as well" in result.stderr


def test_a_link_that_leads_out_of_the_company_folder_is_not_followed(tmp_path):
    folder = house(tmp_path, {})
    (tmp_path / "elsewhere.yaml").write_text(FILE, "utf-8")
    (folder / "hardware.yaml").symlink_to(tmp_path / "elsewhere.yaml")
    assert "leads out of the project folder through a link" in run("check", folder).stderr
