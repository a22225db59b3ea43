"""The reviewer's calculation: a few pages, one row a circuit, numbers of the evaluation, every question found in one jump.

What it has to hold follows the checklist of a plan reviewer (items 28 to 37 and 45 to 50 of `tests/house/permit_package_checklist.yaml`,
common practice of building departments); the number of pages is what a reviewer reads: common practice, no published source.
"""

import io
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pypdfium2
import pytest
from docx import Document
from pypdf import PdfReader

from permitgen.documents.calculation_docx import calculation_docx
from permitgen.documents.calculation_fields import calculation_fields
from permitgen.documents.calculation_pdf import calculation_pages, calculation_pdf
from permitgen.documents.calculation_pdf_blocks import CIRCUIT_COLUMNS
from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.colors import SAFETY_RED
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.styles import MM_PER_POINT
from permitgen.documents.canvas.typography import SCALE
from permitgen.package.calculation_job import calculation_of
from permitgen.package.plan_set_job import drawn_plan_set
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.circuit_current import circuit_current
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.views.findings import finding_text, numbers_of
from permitgen.views.reviewer.document import TO_CONFIRM
from permitgen.views.title import NOT_FOR_PERMIT
from permitgen.views.wording import value_text

ROOT = Path(__file__).resolve().parents[2]
MOST_PAGES = 8
SAMPLE = ("demo", "b08_ac_coupled_branches", "b14_generator_inlet")
NAMES = ["demo", *(path.stem for path in sorted((ROOT / "tests" / "topologies").glob("b*.yaml")))]
ALL = [name if name in SAMPLE else pytest.param(name, marks=pytest.mark.nightly) for name in NAMES]

# What a reviewer asks, and words that stand on the page to which the contents send him.
ANSWERS = {
    "What fails, and what is open?": ("Open points", "caution"),
    "What flows in each circuit, and behind which device?": ("Circuits", "2P 60 A", "48 A"),
    "Are the conductors right after factors and at their terminals?": ("After factors", "Terminals", "186.55 A", "Table 310.16"),
    "Is each equipment ground large enough, and why?": ("EGC 10 AWG Cu", "250.122"),
    "How large is the voltage drop or rise?": ("0.41 % drop", "1.23 % rise"),
    "Are the raceways within their fill?": ("in EMT", "of 1.3424 in²"),
    "120 % rule and the other ways for a busbar": ("opposite end, 120 percent", "705.12(B)(2)", "240 A"),
    "Is each panel protected at its rating?": ("protected at its rating of 200 A", "408.36"),
    "Does the service carry the load?": ("optional method", "165.12 A", "180 A"),
    "Which load calculation, with which terms?": ("optional method", "General lighting, 2100 ft²", "6300 VA", "220.82"),
    "Where are service and emergency disconnect?": ("emergency disconnect", "230.85"),
    "Can each source be disconnected?": ("its disconnect", "705.20"),
    "Do the sources carry the house without the utility?": ("load that the load management leaves connected", "57.1 A", "702.4"),
    "Are generator and utility kept apart?": ("GEN and the utility are never connected", "702.5"),
    "Fault current at each point against each rating": ("7.38 kA", "22 kA", "110.9"),
    "Grounding electrodes and their conductor": ("4 AWG copper grounding electrode conductor", "250.66"),
    "Where is the neutral bonded?": ("bonded at MID and nowhere else", "250.24"),
    "Where does the storage stand, and how much of it?": ("24.8 kWh", "80 kWh", "12.4 kWh", "20 kWh", "R328.5"),
    "Working space at the equipment": ("6 ft clear in front", "40 in clear width", "8 ft clear height", "110.26(A)(1)"),
    "Highest voltage of strings or modules": ("42.02 V", "690.7"),
    "Does rapid shutdown work?": ("inside the array after shutdown", "690.12"),
    "What was assumed?": ("Assumptions", "copper"),
}


def _plain(text):
    return " ".join(text.replace("\u00a0", " ").split())


@pytest.fixture(scope="module")
def views(projects):
    return {name: calculation_of(projects[name]) for name in SAMPLE}


@pytest.fixture(scope="module")
def demo_pdf(views):
    return calculation_pdf(views["demo"])


@pytest.fixture(scope="module")
def demo_texts(demo_pdf):
    return [_plain(page.get_textpage().get_text_range()) for page in pypdfium2.PdfDocument(demo_pdf)]


@pytest.mark.sample(every=3)
@pytest.mark.parametrize("name", ALL)
def test_it_is_short_and_nothing_stands_on_another(projects, name):
    pages = calculation_pages(calculation_of(projects[name]))
    assert len(pages) <= MOST_PAGES
    if name == "demo":
        assert 4 <= len(pages) <= 6
    room = Box(11.0, 8.0, 279.4 - 11.0, 215.9 - 8.0).grown(0.5)
    for number, page in enumerate(pages, start=1):
        texts = [(shape, box) for shape, box in placed_boxes(page.shapes) if isinstance(shape, Text)]
        assert not [(number, shape.text) for shape, box in texts if not room.contains(box)]
        assert not [(number, pair) for pair in text_overlaps(page.shapes, tolerance_mm=0.3)]
        assert min(shape.style.size_mm for shape, _ in texts) >= 8 * MM_PER_POINT - 1e-6


def test_the_demo_answers_twenty_questions_in_one_jump(views, demo_pdf, demo_texts):
    questions = views["demo"].questions
    assert len(questions) >= 20
    assert {question.text for question in questions} == set(ANSWERS)
    reader = PdfReader(io.BytesIO(demo_pdf))
    numbers = {page.indirect_reference.idnum: number for number, page in enumerate(reader.pages)}
    targets = [
        numbers[
            annotation.get_object()["/Dest"][0].idnum
            if "/Dest" in annotation.get_object()
            else annotation.get_object()["/A"]["/D"][0].idnum
        ]
        for annotation in reader.pages[0]["/Annots"]
    ]
    listed = re.findall(r"page (\d+)", demo_texts[0])
    assert len(listed) >= len(questions)
    for question in questions:
        said = re.search(re.escape(question.text) + r" page (\d+)", demo_texts[0])
        assert said, question.text
        page = int(said.group(1))
        assert page - 1 in targets
        for words in ANSWERS[question.text]:
            assert words in demo_texts[page - 1], (question.text, words)


@pytest.mark.parametrize("name", ["b14_generator_inlet", pytest.param("demo", marks=pytest.mark.nightly)])
def test_every_sheet_that_is_named_is_in_the_plan_set(projects, views, name):
    drawn = {drawing.name.number for drawing in drawn_plan_set(projects[name])[1].drawings}
    named = {question.sheet for question in views[name].questions} | {section.sheet for section in views[name].sections}
    # A sheet is named with the zone in which the subject stands.
    assert {name.split(" ")[0] for name in named - {""}} <= drawn


def test_the_index_leads_to_pages_that_cite_the_section(views, demo_texts):
    last = demo_texts[-1].split("Index by section")[1]
    assert len(views["demo"].index) > 40
    for entry in views["demo"].index:
        said = re.search(rf"(?<![\d.R]){re.escape(entry.section)} ((?:\d+(?:, )?)+)", last)
        assert said, entry.section
        for number in re.findall(r"\d+", said.group(1)):
            assert entry.section in demo_texts[int(number) - 1], (entry.section, number)


@pytest.mark.parametrize("name", SAMPLE)
def test_every_circuit_has_its_row_with_the_numbers_of_the_rules(projects, views, name):
    evaluation = projects[name].evaluation
    (section,) = (section for section in views[name].sections if section.circuits)
    rows = {line.tag.removesuffix(" (E)"): line for line in section.circuits}
    assert rows.keys() == evaluation.system.circuits.keys()
    compared = 0
    for tag, line in rows.items():
        finding = evaluation.by_id.get(f"conductor-ampacity:{tag}")
        parts = {part.method: numbers_of(part) for part in finding.judgement.parts} if finding is not None else {}
        if "at the terminals" in parts and parts["at the terminals"][0]:
            assert line.terminal.startswith(parts["at the terminals"][0])
            assert line.required == parts["at the terminals"][1]
            compared += 1
        if "after factors" in parts and parts["after factors"][0]:
            assert (line.corrected, line.current) == parts["after factors"]
    assert compared > 0


def test_the_factors_multiply_to_the_ampacity_after_factors(projects):
    """NEC 310.15(B), (C) of 2020 and 2023: ampacity of the table times correction times adjustment."""
    evaluation = projects["demo"].evaluation
    for circuit in evaluation.system.circuits.values():
        found = conductor_ampacity(evaluation.given, circuit)
        run = found.governing
        product = run.table_a.number * run.ambient_factor.number * run.count_factor.number * circuit.conductors.sets
        assert run.corrected_a.number == pytest.approx(product)
        assert found.corrected_a.number == pytest.approx(product)
        assert circuit_current(evaluation.given, circuit).maximum_a.number > 0


@pytest.mark.parametrize("name", SAMPLE)
def test_every_open_finding_is_among_the_open_points_with_its_numbers(projects, views, name):
    evaluation = projects[name].evaluation
    (section,) = (section for section in views[name].sections if section.key == "open")
    for finding in evaluation.findings:
        if finding.verdict in (Verdict.VIOLATED, Verdict.NOT_JUDGED, Verdict.CAUTION):
            lines = [line for line in section.lines if finding.rule in line.rules and line.verdict == str(finding.verdict)]
            assert lines, finding.id
            text = finding_text(finding, "")
            assert any((line.computed, line.limit) == (text.computed, text.limit) or not text.comparison for line in lines), finding.id


def test_busbars_show_every_way_with_both_numbers(projects, views):
    finding = projects["demo"].evaluation.by_id["busbar-sources:MID"]
    (section,) = (section for section in views["demo"].sections if section.key == "busbars")
    rows = {(line.text, line.computed, line.limit) for line in section.lines}
    tried = [part for part in finding.judgement.parts if part.verdict is not Verdict.DOES_NOT_APPLY]
    assert len(tried) == 4
    for part in tried:
        assert (part.method, value_text(part.computed), value_text(part.limit)) in rows
    for part in finding.judgement.parts:
        if part.verdict is Verdict.DOES_NOT_APPLY:
            assert any(part.message in line.text for line in section.lines)


def test_pdf_and_docx_print_the_same_rows(views, demo_texts):
    document = Document(io.BytesIO(calculation_docx(views["demo"])))
    cells = {_plain(cell.text) for table in document.tables for row in table.rows for cell in row.cells}
    printed = "".join(demo_texts).replace(" ", "")
    for section in views["demo"].sections:
        for line in section.lines:
            numbers = (line.computed, line.limit)
            assert all(_plain(number) in cells or not number for number in numbers)
            assert all(_plain(number).replace(" ", "") in printed for number in numbers)
        for circuit in section.circuits:
            for number in (circuit.corrected, circuit.terminal, circuit.drop):
                assert _plain(number) in cells
        for load in section.loads:
            assert all(_plain(term.connected) in cells for term in load.lines)
            assert _plain(load.total) in cells


def test_a_marked_row_has_its_line_at_the_foot_and_no_page_says_how_the_program_knows(views, demo_texts):
    assert any(" *" in text for text in demo_texts)
    for text in demo_texts:
        marks = text.replace(TO_CONFIRM, "").count("*")
        assert (marks > 0) == (TO_CONFIRM in text)
        assert not re.search(r"from memory|source not recorded|text read|not confirmed|this program", text)
    fields = str(calculation_fields(views["demo"]))
    assert not re.search(r"from memory|source not recorded|not confirmed|this program", fields)


def test_a_violation_stands_out(views):
    view = views["demo"]
    title = replace(view.title, has_violations=True, status="Checked: 1 FAIL.")
    sections = tuple(
        replace(section, lines=(replace(section.lines[0], verdict="violated"), *section.lines[1:])) if section.lines else section
        for section in view.sections
    )
    pages = calculation_pages(replace(view, title=title, sections=sections))
    for page in pages:
        said = f"✗ {NOT_FOR_PERMIT} Checked: 1 FAIL."
        (words,) = [box for shape, box in placed_boxes(page.shapes) if isinstance(shape, Text) and shape.text == said]
        bands = [box for shape, box in placed_boxes(page.shapes) if getattr(shape, "fill", None) is SAFETY_RED]
        assert [band for band in bands if band.contains(words) and band.width > page.width_mm * 0.8]


def test_the_template_is_what_its_script_makes():
    import importlib.util
    import zipfile

    script = ROOT / "templates" / "make_calculation_template.py"
    spec = importlib.util.spec_from_file_location("make_calculation_template", script)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    shipped = zipfile.ZipFile(ROOT / "templates" / "calculation.docx")
    made = zipfile.ZipFile(io.BytesIO(module.template()))
    assert {name: made.read(name) for name in made.namelist()} == {name: shipped.read(name) for name in shipped.namelist()}


_MOST_LINES_OF_A_CIRCUIT = 8


@pytest.mark.parametrize("name", ["demo", "b08_ac_coupled_branches", "b21_two_service_panels"])
def test_no_circuit_is_one_narrow_column_of_text(projects, name):
    """A row of ten lines for one cell is read by nobody; three runs of two lines, or five lines of reasons, are what there is to say."""
    view = calculation_of(projects[name])
    tags = {line.tag for section in view.sections for line in section.circuits}
    for page in calculation_pages(view):
        texts = [shape for shape, _ in placed_boxes(page.shapes) if isinstance(shape, Text)]
        rows = sorted({shape.y for shape in texts if shape.text in tags and shape.x < 20.0})
        taller = [(one, other) for one, other in pairwise(rows) if other - one > (_MOST_LINES_OF_A_CIRCUIT + 0.5) * SCALE.table_leading_mm]
        assert taller == []


def test_columns_of_circuits_are_as_wide_in_word_as_on_paper():
    document = Document(ROOT / "templates" / "calculation.docx")
    table = next(table for table in document.tables if "Equipment ground, and why" in [cell.text for cell in table.rows[0].cells])
    widths = [round(column.width / 36000, 1) for column in table.columns]
    fixed = [column.width_mm for column in CIRCUIT_COLUMNS]
    assert [(wide, mm) for wide, mm in zip(widths, fixed, strict=True) if mm is not None and abs(wide - mm) > 0.6] == []
