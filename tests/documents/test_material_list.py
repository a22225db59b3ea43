"""The material list counts what the project file holds: each sum is made here once more, from the file's own text.

The counting below reads the YAML alone: circuits, runs and directories; nothing of the program's own count is used. How a circuit is
counted (two ungrounded conductors unless stated, a neutral unless none, a ground unless it is shared or a service conductor) is what the
README says of the file; a control circuit is a loop of two (common practice, no published source).
"""

import csv
import io
import re
import zipfile
from pathlib import Path

import openpyxl
import pypdfium2
import pytest
import yaml

from permitgen.documents.material_list_tables import HEADINGS, material_list_csv, material_list_xlsx
from permitgen.package.material_job import material_list_files, material_list_of_project
from permitgen.package.opened_project import open_project
from tests.whole_project import whole_text

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "tests" / "cli" / "small_house.yaml"


def _feet(text):
    number, unit = re.fullmatch(r"([0-9.]+)\s*(ft|m|in)", text.strip()).groups()
    return float(number) * {"ft": 1, "m": 1 / 0.3048, "in": 1 / 12}[unit]


def _file(path):
    return yaml.load(whole_text(path), yaml.CBaseLoader)


def _runs(circuit):
    return [each.strip() for each in circuit.get("runs", "").split(",") if each.strip()]


def _is_cable(run):
    return run["kind"].endswith("cable")


def counted_by_hand(data):
    """Feet of conductors by use, feet of cable and feet of raceway by kind, of everything that is not existing."""
    feet = dict.fromkeys(("ungrounded", "neutral", "equipment ground", "control", "cable"), 0.0)
    new = [circuit for circuit in data["circuits"].values() if circuit.get("existing") != "yes"]
    for circuit, run in [(each, data["raceways"][tag]) for each in new for tag in _runs(each)]:
        length = _feet(run.get("length", "0 ft"))
        for use, number in ({"cable": 1} if _is_cable(run) else _numbers(circuit)).items():
            feet[use] += number * length
    feet["control"] = sum(2 * _feet(control["length"]) for control in data.get("control", {}).values())
    raceways = {}
    for run in data["raceways"].values():
        if not _is_cable(run) and "length" in run:
            raceways[run["kind"]] = raceways.get(run["kind"], 0) + _feet(run["length"])
    return feet, raceways


def _numbers(circuit):
    conductors = circuit["conductors"]
    is_service = circuit["from"].split(".")[0] == "UTIL" or circuit.get("name", "").startswith("Service conductors")
    return {
        "ungrounded": int(conductors.get("ungrounded", 2)),
        "neutral": conductors.get("neutral", "no") != "no",
        "equipment ground": "equipment_ground_shared_with" not in conductors and not is_service,
    }


def _rows(view):
    text = material_list_csv(view).decode("utf-8-sig")
    return [dict(zip(HEADINGS, row, strict=True)) for row in csv.reader(io.StringIO(text)) if len(row) == len(HEADINGS)][1:]


def _sum(rows, column="quantity"):
    return sum(float(row[column]) for row in rows if row[column])


@pytest.fixture(scope="module")
def listed(demo):
    return material_list_of_project(demo)


@pytest.fixture(scope="module")
def rows(listed):
    return _rows(listed)


def test_conductors_of_the_demo_sum_to_the_count_by_hand(rows):
    feet, raceways = counted_by_hand(_file(ROOT / "demo_project" / "project.yaml"))
    conductors = [row for row in rows if row["section"] == "Conductors"]
    for use in ("ungrounded", "neutral", "equipment ground", "control"):
        own = [row for row in conductors if row["item"].endswith(f", {use}")]
        assert own
        assert _sum(own) == pytest.approx(feet[use]), use
    assert _sum(row for row in rows if row["section"] == "Cables") == pytest.approx(feet["cable"])
    for kind, length in raceways.items():
        assert _sum(row for row in rows if row["section"] == "Raceways" and row["item"] == kind) == pytest.approx(length), kind


def test_each_quantity_is_the_sum_of_the_pieces_it_leads_to(rows):
    """``C8: 2 × 12 ft in R7`` and so on: multiplied and added from the printed words."""
    for row in rows:
        if row["section"] in ("Conductors", "Cables"):
            pieces = [int(count) * float(feet) for count, feet in re.findall(r"(\d+) × ([0-9.]+)\xa0ft", row["leads to"])]
            assert sum(pieces) == pytest.approx(float(row["quantity"] or 0)), row
        assert row["leads to"], row


def test_the_allowance_is_the_stated_one_and_printed(demo, rows, listed):
    """10 % in the demo's settings: 110 ft to order for 100 ft."""
    assert demo.loaded.file.data["settings"]["material_allowance"] == "10 %"
    lengths = [row for row in rows if row["unit"] == "ft" and row["quantity"]]
    assert lengths
    for row in lengths:
        assert float(row["to order"]) == pytest.approx(float(row["quantity"]) * 1.1, abs=0.006)
    assert "10\u00a0%" in listed.allowance
    pages = pypdfium2.PdfDocument(material_list_files(listed)["material_list.pdf"])
    assert "Allowance on lengths as stated: 10" in pages[0].get_textpage().get_text_range().replace("\u00a0", " ")


def test_breakers_of_the_demo_are_those_of_its_directories(rows):
    """Every line of a directory with a rating, but the mains that the hardware describes."""
    data = _file(ROOT / "demo_project" / "project.yaml")
    lines = [line for item in data["equipment"].values() for line in item.get("directory", "").splitlines()]
    told = [line for line in lines if re.search(r"\b\d+A\b", line) and "existing" not in line]
    assert _sum(row for row in rows if row["section"] == "Breakers and fuses") == len(told) == 24


def test_every_new_piece_of_equipment_is_there_once(rows):
    data = _file(ROOT / "demo_project" / "project.yaml")
    words = " ; ".join(row["leads to"] for row in rows if row["section"] in ("Boxes", "Enclosures and equipment", "Arrays", "Electrodes"))
    for tag in data["equipment"]:
        assert bool(re.search(rf"\b{tag}\b", words)) == (tag != "UTIL"), tag
    modules = next(row for row in rows if "module" in row["item"] and row["section"] == "Arrays")
    assert modules["quantity"] == data["equipment"]["PV1"]["modules"]


def test_pieces_of_labels_are_those_that_are_printed(demo, rows):
    from permitgen.package.label_job import labels_of

    own = [row for row in rows if row["section"] == "Labels, plates and stock"]
    others = [row for row in own if row["item"].startswith(("Stock", "Directory placard"))]
    assert _sum(own) - _sum(others) == labels_of(demo).count
    sheets = len(pypdfium2.PdfDocument(_labels_pdf(demo)))
    assert float(others[0]["quantity"]) == sheets


def _labels_pdf(demo):
    from permitgen.documents.label_package import label_package
    from permitgen.package.label_job import labels_of
    from permitgen.views.title import title_of

    return label_package(labels_of(demo), title_of(demo.evaluation))["labels.pdf"]


def _changed(tmp_path, *changes):
    text = SMALL.read_text("utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (tmp_path / "project.yaml").write_text(text, "utf-8")
    return _rows(material_list_of_project(open_project(tmp_path))), material_list_of_project(open_project(tmp_path))


def test_a_run_without_length_is_listed_and_never_guessed(tmp_path):
    rows, _view = _changed(tmp_path, ("length: 62 ft, ", ""))
    raceway = next(row for row in rows if row["item"] == "PVC-40")
    assert (raceway["quantity"], raceway["to order"], raceway["part not stated"]) == ("", "", "yes")
    assert "R1: length not stated" in raceway["detail"]
    service = [row for row in rows if row["leads to"].startswith("S1:")]
    assert service
    assert all(row["quantity"] == "" and "length not stated" in row["leads to"] for row in service)


def test_what_is_existing_is_named_and_not_counted(tmp_path):
    rows, view = _changed(
        tmp_path,
        ("S1: {from: UTIL,", "S1: {existing: yes, from: UTIL,"),
        ("MSP: {catalog: panel,", "MSP: {catalog: panel, status: existing,"),
    )
    assert not [row for row in rows if re.match("S1:|MSP ", row["leads to"]) or row["item"] == "PVC-40"]
    left = {tag: why for tag, _what, why in view.left_out}
    assert left["S1"] == left["R1"] == left["MSP"] == "existing"
    devices = [row for row in rows if row["section"] == "Breakers and fuses"]
    assert _sum(devices) == 2, "the breakers of C1 and C2, put into the existing panel"


def test_a_raceway_with_existing_and_new_circuits_is_told_apart(tmp_path):
    rows, view = _changed(tmp_path, ("    from: ESS1\n", "    from: ESS1\n    existing: yes\n"))
    assert not [row for row in rows if row["item"] == "EMT"]
    assert any(tag == "R2" and "does not say" in why for tag, _what, why in view.left_out)


def test_no_allowance_is_said_and_adds_nothing(tmp_path):
    rows, view = _changed(tmp_path)
    assert "No allowance is stated" in view.allowance
    assert all(row["quantity"] == row["to order"] for row in rows)


def test_a_text_that_looks_like_a_formula_stays_a_text(tmp_path):
    rows, view = _changed(tmp_path, ("name: Main panel", "name: '=1+1'"))
    assert any("=1+1" in row["leads to"] for row in rows)
    assert not re.search(r'(^|,)"?[=+@-]', material_list_csv(view).decode("utf-8-sig").replace("\r\n", "\n"), re.MULTILINE)
    book = openpyxl.load_workbook(io.BytesIO(material_list_xlsx(view)))
    assert all(cell.data_type != "f" for sheet in book for row in sheet.iter_rows() for cell in row)


def test_the_spreadsheet_holds_the_same_lines_and_no_clock(listed, rows):
    content = material_list_xlsx(listed)
    assert material_list_xlsx(listed) == content
    sheet = openpyxl.load_workbook(io.BytesIO(content))["Material list"]
    own = list(sheet.iter_rows(min_row=2, values_only=True))
    assert len(own) == len(rows)
    for cells, row in zip(own, rows, strict=True):
        assert cells[1] == row["item"]
        assert (cells[4] or 0) == pytest.approx(float(row["quantity"] or 0), abs=0.006)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert b"2000-01-01" in archive.read("docProps/core.xml")


@pytest.mark.parametrize(
    ("spelled", "said"),
    [("lots", "lots"), ("10 ft", "10 ft"), ("-5 %", "-5 %")],
)
def test_an_allowance_that_is_no_percentage_is_refused(tmp_path, spelled, said):
    from permitgen.reading.problems import ProblemsError

    with pytest.raises(ProblemsError) as refused:
        _changed(tmp_path, ("circuits:\n", f"settings: {{material_allowance: {spelled}}}\ncircuits:\n"))
    assert said in str(refused.value)
    assert "settings.material_allowance" in str(refused.value)
