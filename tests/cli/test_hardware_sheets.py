"""Hardware from and for spreadsheets: what is right becomes entries that read alike, what is wrong is one message a cell."""

import csv
import io
import itertools
import re

import openpyxl
import pytest

from permitgen.documents.hardware_sheet import keys_of_kind
from permitgen.project.examples import example_of
from permitgen.project.hardware_files import read_hardware
from permitgen.project.hardware_models import entry_problems
from permitgen.project.messages import kinds, model_at
from tests.cli.in_process import run

MAPPING = """format: hardware mapping 1
kind: module
name: Type
columns:
  power: {column: Pmax, unit: W}
  voc: {column: Uoc, unit: V}
  isc: {column: Isc, unit: A}
  voc_coefficient: {column: Coefficient, unit: "%/°C"}
  bifacial: {column: Two-sided, as: {J: "yes", N: "no"}}
  length: Length
  data_sheet.file: Paper
same: {crystalline_silicon: "yes"}
"""
HEADER = ["Type", "Pmax", "Uoc", "Isc", "Coefficient", "Two-sided", "Length", "Paper", "Price"]
ROWS = [
    ["module-a", "405", "37.2", "13.9", "-0.27", "N", "67.8 in", "a.pdf", "101"],
    ["module-b", "390", "43.6", "11.2", "-0.28", "J", "1811 mm", "b.pdf", "99"],
]


def written(tmp_path, rows, kind="csv"):
    path = tmp_path / f"modules.{kind}"
    if kind == "csv":
        with path.open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream).writerows(rows)
        return path
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    book.save(path)
    return path


def imported(tmp_path, rows, kind="csv", mapping=MAPPING):
    (tmp_path / "mapping.yaml").write_text(mapping, "utf-8")
    path = written(tmp_path, rows, kind)
    return run("hardware", "import", path, "--mapping", tmp_path / "mapping.yaml", "--out", tmp_path / "out.yaml")


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_spreadsheet_becomes_a_hardware_file(tmp_path, kind):
    result = imported(tmp_path, [HEADER, *ROWS], kind)
    assert result.returncode == 0, result.stderr
    assert "2 entries; columns not taken: Price" in result.stdout
    read = read_hardware((tmp_path / "out.yaml").read_bytes(), "out.yaml")
    assert entry_problems(read) == []
    assert read.data["catalog"]["module-b"] == {
        "kind": "module",
        "crystalline_silicon": "yes",
        "power": "390 W",
        "voc": "43.6 V",
        "isc": "11.2 A",
        "voc_coefficient": "-0.28 %/°C",
        "bifacial": "yes",
        "length": "1811 mm",
        "data_sheet": {"file": "b.pdf"},
    }


def test_numbers_of_a_workbook_are_what_a_person_sees(tmp_path):
    """13.9 is kept as 13.9 and not as the nearest binary fraction; a share shown in percent is a percentage."""
    book = openpyxl.Workbook()
    book.active.append(["entry", "frequency_droop", "output", "interactive_listed"])
    book.active.append(["micro", 0.019, 1.38, True])
    book.active["B2"].number_format = "0.0 %"
    book.active["C2"].number_format = '0.00" A"'
    book.active["C2"] = "1.38 A"
    book.save(tmp_path / "micro.xlsx")
    result = run("hardware", "import", tmp_path / "micro.xlsx", "--kind", "module_inverter")
    assert result.returncode == 0, result.stderr
    entry = read_hardware(result.stdout.encode(), "out")
    assert entry.data["catalog"]["micro"] == {
        "kind": "module_inverter",
        "frequency_droop": "1.9 %",
        "output": "1.38 A",
        "interactive_listed": "yes",
    }


# What a cell may not hold, by the column of the module sheet; each of them stands in either row.
SPOILT = {
    "Pmax": ["405 V", "four hundred", "-405", "0", "n/a"],
    "Uoc": ["37,2 V", "37.2 A", "1e9999", "–"],
    "Isc": ["13.9 mA A", "#REF!", "13.9 13.9"],
    "Coefficient": ["0.27", "-0.27 A", "none at all"],
    "Two-sided": ["perhaps", "2"],
    "Length": ["67.8 lb", "long", "-1 in", "#DIV/0!"],
}
CASES = [(column, value, row) for column, values in SPOILT.items() for value in values for row in (0, 1)][:40]


def test_there_are_forty_spoilt_sheets():
    assert len(CASES) == 40


@pytest.mark.parametrize(("column", "value", "row"), CASES)
def test_a_spoilt_cell_is_one_message_at_it_and_nothing_is_written(tmp_path, column, value, row):
    rows = [HEADER, *(list(each) for each in ROWS)]
    number = HEADER.index(column)
    rows[row + 1][number] = value
    result = imported(tmp_path, rows, "xlsx" if (number + row) % 2 else "csv")
    assert result.returncode == 2
    (message,) = result.stderr.splitlines()
    assert re.search(rf"modules\.\w+:{row + 2}:{number + 1}: {'ABCDEFGH'[number]}{row + 2} ?[a-z_]*: .", message), message
    assert not (tmp_path / "out.yaml").exists()


def test_each_of_several_spoilt_cells_has_its_message(tmp_path):
    rows = [HEADER, ["module-a", "405 V", "volts", "13.9", "0.27", "N", "67.8 in", "a.pdf", ""], ["", *ROWS[1][1:]]]
    messages = imported(tmp_path, rows).stderr.splitlines()
    assert [re.search(r": ([A-Z]\d+) ", each)[1] for each in messages] == ["B2", "C2", "E2", "A3"]


WHOLE = {
    "a name twice": ([HEADER, ROWS[0], ROWS[0]], ':3:1: A3 entry: "module-a" is in row 2 already'),
    "no rows": ([HEADER], "no row below the header holds anything"),
    "no header": ([[""], *ROWS], "row 1 names no columns"),
    "a column twice": ([[*HEADER[:8], "Uoc"], *ROWS], ':1:9: I1: the column "Uoc" is there twice, first in C1'),
    "a column that is called otherwise": (
        [[each.replace("Uoc", "U oc") for each in HEADER], *ROWS],
        'voc: there is no column "Uoc"; did you mean "U oc"?',
    ),
}


@pytest.mark.parametrize("case", WHOLE)
def test_a_sheet_that_cannot_be_read_is_one_message(tmp_path, case):
    rows, message = WHOLE[case]
    result = imported(tmp_path, rows)
    assert result.returncode == 2
    assert message in result.stderr
    assert len(result.stderr.splitlines()) == 1, result.stderr
    assert not (tmp_path / "out.yaml").exists()


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        ("x.csv", b"Type\nM\xfcller", "save it as CSV in UTF-8"),
        ("x.csv", b'Type,Pmax\n"open,405', "this is no CSV"),
        ("x.xlsx", b"PK\x03\x04 nothing", "this is no workbook that can be read"),
        ("x.xlsx", b"Type,Pmax", "this is no workbook that can be read"),
    ],
)
def test_a_file_of_another_kind_is_one_message(tmp_path, name, content, message):
    (tmp_path / name).write_bytes(content)
    result = run("hardware", "import", tmp_path / name, "--kind", "module")
    assert result.returncode == 2
    assert message in result.stderr
    assert len(result.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        ("kind: module", "kind: modul", ':2:7: kind: "modul" is not a kind of hardware; did you mean "module"?'),
        ("  voc: ", "  vcc: ", ':6:3: columns.vcc: a module has no key "vcc"; did you mean "voc"?'),
        ("unit: W", "units: W", 'unknown key "units"; did you mean "unit"?'),
        ("name: Type\n", "", "name: expected the name of a column"),
        ("hardware mapping 1", "hardware mapping 2", 'its first line that is no comment has to be "format: hardware mapping 1"'),
    ],
)
def test_a_mistake_in_the_mapping_is_a_message_at_its_place(tmp_path, before, after, message):
    result = imported(tmp_path, [HEADER, *ROWS], mapping=MAPPING.replace(before, after, 1))
    assert result.returncode == 2
    assert message in result.stderr


@pytest.mark.parametrize("kind", kinds())
def test_an_empty_sheet_says_what_each_column_means_and_can_be_imported(tmp_path, kind):
    result = run("hardware", "blank", kind, "--out", tmp_path / "blank.csv")
    assert result.returncode == 0, result.stderr
    rows = list(csv.reader(io.StringIO((tmp_path / "blank.csv").read_text("utf-8-sig"))))
    assert len({len(row) for row in rows}) == 1
    assert all(meaning for meaning in rows[1])
    assert all(needs for needs in rows[3])
    filled = {"entry": "thing-1", "name": "Thing"}
    with (tmp_path / "blank.csv").open("a", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerow([filled.get(key, "") for key in rows[0]])
    done = run("hardware", "import", tmp_path / "blank.csv", "--kind", kind)
    assert done.returncode == 0, done.stderr
    assert read_hardware(done.stdout.encode(), "x").data["catalog"]["thing-1"] == {"kind": kind, "name": "Thing"}


@pytest.mark.parametrize("kind", sorted(kinds()))
def test_the_examples_of_an_empty_sheet_are_those_of_its_keys(kind):
    """No module of 240 V and 1-1/4 in: what the guide shows of a key, settled in ``tests/house/test_examples_fit_their_keys.py``."""
    model = model_at(("catalog", "x", kind))
    names = [section.__name__ for section in model.__mro__]
    for each in keys_of_kind(kind):
        if "." not in each.key and (own := example_of(names, each.key)):
            assert each.example == own, each.key


def test_the_example_of_a_module_is_a_module():
    """Below 80 V, sides of 2 ft to 9 ft: modules for dwellings (common practice, no published source)."""
    told = {each.key: each.example for each in keys_of_kind("module")}
    assert float(told["voc"].split()[0]) < 80
    assert all(24 <= float(told[side].split()[0]) <= 108 for side in ("length", "width"))
    assert told["bifacial"] == "yes or no"


def test_a_kind_that_is_none_is_one_message():
    result = run("hardware", "blank", "modul")
    assert result.returncode == 2
    assert '"modul" is not a kind of hardware; did you mean "module"?' in result.stderr


def test_check_lists_who_checked_what_is_open_and_which_projects_a_change_touches(tmp_path):
    from tests.cli.test_hardware_files import CHECKED, ENTRY, house

    folder = house(tmp_path, {"../company/hardware.yaml": CHECKED + ENTRY}, "../company/hardware.yaml")
    assert run("build", folder, "--only", "project_file").returncode in (0, 1)
    file = tmp_path / "jobs" / "company" / "hardware.yaml"
    file.write_text(file.read_text("utf-8").replace("spaces: 40", "spaces: 42"), "utf-8")
    result = run("hardware", "check", file.parent, "--projects", tmp_path / "jobs")
    lines = result.stdout.splitlines()
    assert result.returncode == 0, result.stderr
    assert f"{file}:3:3 panel (panelboard): checked by M. Tarn on 2026-01-12" in lines
    assert f"    used by {folder}: changed since its package was built: spaces" in lines
    assert any(re.match(r"    open: short_circuit_rating \(.*nameplate\), for .*\S", each) for each in lines), result.stdout
    assert f"{file}:4:3 box (junction_box): checked by nobody" in lines
    assert lines[-1] == "2 entries, 1 of them checked by nobody; 1 projects read"


def test_where_no_project_is_nothing_is_said_of_who_uses_an_entry(tmp_path):
    (tmp_path / "hardware.yaml").write_text("format: hardware 1\ncatalog:\n  box: {kind: junction_box, volume: 60 in³}\n", "utf-8")
    result = run("hardware", "check", "hardware.yaml", "--projects", "nowhere", folder=tmp_path)
    assert (result.returncode, result.stdout, result.stderr) == (2, "", "nowhere: No such file or directory\n")


def test_check_finds_what_is_wrong_in_entries_that_no_project_uses(tmp_path):
    file = tmp_path / "hardware.yaml"
    file.write_text("format: hardware 1\ncatalog:\n  box: {kind: junction_box, volume: 60 lb}\n  two: {volume: 3 in³}\n", "utf-8")
    result = run("hardware", "check", file)
    assert result.returncode == 2
    assert [each.split(": ")[0].rsplit(":", 2)[1:] for each in result.stderr.splitlines()] == [["3", "37"], ["4", "3"]]


@pytest.mark.nightly
def test_the_demo_has_thirty_entries_of_which_it_uses_some():
    result = run("hardware", "check", "demo_project/hardware", "--projects", "demo_project")
    entries = [each for each in result.stdout.splitlines() if each.startswith("demo_project/")]
    assert len(entries) >= 30
    used = sum(follows.startswith("    ") for _, follows in itertools.pairwise(result.stdout.splitlines()) if "used by" in follows)
    assert used == 13
    assert result.stdout.splitlines()[-1].endswith("2 of them checked by nobody; 1 projects read")
