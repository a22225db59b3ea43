"""Jurisdiction files: what holds for every house of a place is said once, and what the project says stands over it."""

import shutil
from pathlib import Path

import pytest

from permitgen.package.opened_project import open_project
from permitgen.views.cover import cover_of
from tests.cli.in_process import ROOT, run

SMALL = (Path(__file__).parent / "small_house.yaml").read_text("utf-8")
OWN = "jurisdiction: {name: Town of Harrow Bend, edition: 2023}"
CLIMATE = "  climate: {record_low: -23 °C, design_high: 36 °C}\n"
PLACES = ROOT / "demo_project" / "places"


def house(tmp_path, jurisdiction="file: places/marl_county.yaml", *, climate="", where="places", more=""):
    """Write the small house with a jurisdiction file in place of what it says of the town."""
    folder = tmp_path / "jobs" / "house"
    folder.mkdir(parents=True)
    shutil.copytree(PLACES, folder / where)
    text = SMALL.replace(OWN, f"jurisdiction: {{{jurisdiction}}}").replace(CLIMATE, climate) + more
    (folder / "project.yaml").write_text(text, "utf-8")
    return folder


def test_a_place_is_what_its_file_says(tmp_path):
    opened = open_project(house(tmp_path))
    system = opened.loaded.system
    assert (system.jurisdiction.name, system.jurisdiction.edition, system.jurisdiction.fire_code) == ("Marl County", 2020, "IRC 2018")
    assert dict(system.jurisdiction.options) == {"backup_capacity_basis": "largest load", "diagram": "three-line"}
    assert system.jurisdiction.asks_for == ("local-premises-sign",)
    assert system.settings["sheet_size"] == "Arch D"
    assert system.jurisdiction.submission.page_size == "Arch D"
    assert [each.ordinance for each in opened.code.amendments] == ["Marl Ordinance 19-4"]
    cover = cover_of(opened.evaluation)
    assert "The owner of the property agrees to the inspection of all parts of the installation." in cover.statements
    assert ("call for inspections", "Office of Permits, 555-0177") in cover.site


def test_the_same_words_in_the_project_are_judged_alike(tmp_path):
    """Harrow Bend's file and its table state what the small house states itself, and a fire code and a submission beside it."""
    there = open_project(house(tmp_path, "file: places/harrow_bend.yaml")).evaluation
    file = tmp_path / "own.yaml"
    file.write_text(SMALL.replace(OWN, f"{OWN[:-1]}, fire_code: IRC 2021}}"), "utf-8")
    own = open_project(file).evaluation
    told = [{(f.id, f.verdict, f.judgement.message) for f in each.findings} for each in (there, own)]
    assert told[0] == told[1]


def test_what_the_project_says_stands_over_the_file_key_by_key(tmp_path):
    said = (
        "file: places/marl_county.yaml, edition: 2023, options: {diagram: one-line}, amendments: [], asks_for: [], "
        "submission: {largest_file: 8 MB}"
    )
    opened = open_project(house(tmp_path, said, climate="  climate: {design_high: 41 °C}\n", more="settings: {placard_size: 8 x 10 in}\n"))
    jurisdiction = opened.loaded.system.jurisdiction
    assert (jurisdiction.name, jurisdiction.edition) == ("Marl County", 2023)
    assert dict(jurisdiction.options) == {"diagram": "one-line", "backup_capacity_basis": "largest load"}
    assert (jurisdiction.amendments, jurisdiction.asks_for) == ((), ())
    assert (jurisdiction.submission.largest_bytes, jurisdiction.submission.page_size) == (8_000_000, "Arch D")
    assert opened.loaded.system.settings == {"sheet_size": "Arch D", "placard_size": "8 x 10 in"}
    assert opened.loaded.system.site.design_high_c.number == pytest.approx(41)
    assert opened.loaded.system.site.record_low_c.number == pytest.approx(-9)


def test_temperatures_come_from_their_cells(tmp_path):
    """Marl Ferry is in row 3 of the table: -9 °C and 39 °C."""
    site = open_project(house(tmp_path)).loaded.system.site
    assert [
        (each.number, each.origin.file.rpartition("house/")[2], each.origin.line) for each in (site.record_low_c, site.design_high_c)
    ] == [
        (-9, "places/temperatures.csv", 3),
        (39, "places/temperatures.csv", 3),
    ]
    assert site.climate_source == "Marl Ferry, temperatures.csv"


def test_the_file_of_a_company_is_an_input_and_lies_in_the_package(tmp_path):
    folder = house(tmp_path, "file: ../../places/marl_county.yaml", where="../../places")
    opened = open_project(folder)
    names = {"marl_county.yaml", "marl_ordinance.yaml", "temperatures.csv"}
    assert set(opened.inputs) >= {f"../../places/{name}" for name in names}
    assert run("build", folder, "--only", "project_file").returncode in (0, 1)
    assert (folder / "package" / "project_file" / "places" / "marl_county.yaml").is_file()


MESSAGES = {
    "a misspelt option": (
        ("diagram: three-line", "diagramm: three-line"),
        "marl_county.yaml:9:50: jurisdiction.options.diagramm: no option",
    ),
    "a choice that is none": (("diagram: three-line", "diagram: threeline"), 'did you mean "three-line"?'),
    "a misspelt setting": (("sheet_size", "sheetsize"), 'did you mean "sheet_size"?'),
    "a misspelt key": (
        ("fire_code", "firecode"),
        'marl_county.yaml:7:3: jurisdiction.firecode: unknown key "firecode"; did you mean "fire_code"?',
    ),
    "a label that is none": (
        ("local-premises-sign", "local-premises-sing"),
        "marl_county.yaml:10:14: jurisdiction.asks_for[1]: no label",
    ),
    "another edition": (("edition: 2020", "edition: 2021"), "marl_county.yaml:6:12: jurisdiction.edition: "),
    "an ordinance that is not there": (
        ("marl_ordinance", "marl_ordnance"),
        "marl_county.yaml:8:15: jurisdiction.amendments: there is no file",
    ),
    "a grant": (("asks_for:", "granted:"), '"granted" is about one project and stands in its own file'),
    "a station that is not there": (("Marl Ferry", "Marl Fery"), 'the table has no station "Marl Fery"; did you mean "Marl Ferry"?'),
    "a temperature in the file": (("table: temp", "record_low: 3 °C, table: temp"), "a jurisdiction file names table and station alone"),
    "no jurisdiction file": (("format: jurisdiction 1", "format: jurisdiction 2"), 'has to be "format: jurisdiction 1"'),
}


@pytest.mark.parametrize("case", MESSAGES)
def test_a_mistake_is_one_message_at_its_place_in_the_file(tmp_path, case):
    (before, after), message = MESSAGES[case]
    folder = house(tmp_path)
    file = folder / "places" / "marl_county.yaml"
    assert before in file.read_text("utf-8")
    file.write_text(file.read_text("utf-8").replace(before, after), "utf-8")
    result = run("check", folder)
    assert result.returncode == 2, result.stdout
    assert message in result.stderr
    assert len(result.stderr.splitlines()) == 1, result.stderr


TABLES = {
    "no unit": ("station,extreme minimum,2 % high (°C)\nMarl Ferry,-9,39\n", 'temperatures.csv:2:2: B2 extreme minimum: "-9" has no unit'),
    "no column": ("station,extreme minimum (°C)\nMarl Ferry,-9\n", 'there is no column "2 % high"'),
    "twice": ("station,extreme minimum (°C),2 % high (°C)\nMarl Ferry,-9,39\nMarl Ferry,-8,39\n", "is in row 2 already"),
    "no temperature": (
        "station,extreme minimum (°C),2 % high (°C)\nMarl Ferry,-9 V,39\n",
        "temperatures.csv:2:2: site.climate.record_low: ",
    ),
}


@pytest.mark.parametrize("case", TABLES)
def test_a_mistake_in_the_table_is_one_message_at_its_cell(tmp_path, case):
    content, message = TABLES[case]
    folder = house(tmp_path)
    (folder / "places" / "temperatures.csv").write_text(content, "utf-8")
    result = run("check", folder)
    assert result.returncode == 2, result.stdout
    assert message in result.stderr
    assert len(result.stderr.splitlines()) == 1, result.stderr


def test_an_empty_cell_is_no_temperature(tmp_path):
    folder = house(tmp_path)
    text = "station,extreme minimum (°C),2 % high (°C)\nMarl Ferry,,39\n"
    (folder / "places" / "temperatures.csv").write_text(text, "utf-8")
    assert open_project(folder).loaded.system.site.record_low_c is None


@pytest.mark.parametrize("said", ["table: places/temperatures.csv", "station: Marl Ferry"])
def test_table_and_station_are_named_together(tmp_path, said):
    folder = house(tmp_path, "name: Marl, edition: 2020", climate=f"  climate: {{{said}}}\n")
    result = run("check", folder)
    assert result.returncode == 2
    assert "are named together" in result.stderr
