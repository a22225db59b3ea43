"""The reply to the plan review: text as it is printed, the same bytes each time, hostile text stays text, missing answers say so."""

import importlib.util
import io
import re
import shutil
import subprocess
import sys
import zipfile
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from docx import Document

from permitgen.documents.resources import template_path
from permitgen.documents.review_reply_docx import review_reply_docx
from permitgen.package.build import build_package
from permitgen.package.documents import DOCUMENTS
from permitgen.package.opened_project import open_project
from permitgen.project import choice_references
from permitgen.reading.problems import ProblemsError
from permitgen.system.project_facts import ReviewComment
from permitgen.views.plan_sheets import SHEETS
from permitgen.views.review_reply import review_reply_of

ROOT = Path(__file__).resolve().parents[2]
HOUSE = (ROOT / "tests" / "cli" / "small_house.yaml").read_text("utf-8")
HOSTILE = ("{{ x }}", "{% raw %}", "<w:p>", "</w:t></w:r>", "]]>", "&lt;b&gt;", "{{ title.__class__ }}", "{_{", "=1+1", "a\\b")


@pytest.fixture(scope="module")
def evaluation(demo):
    return demo.evaluation


def _with(evaluation, *comments):
    return replace(evaluation, given=evaluation.given.with_sizes(replace(evaluation.system, review_comments=comments)))


def _document(evaluation, *comments):
    reply = review_reply_of(_with(evaluation, *comments))
    return Document(io.BytesIO(review_reply_docx(reply)))


def _rows(document):
    """Cells of the table of comments, without its heading."""
    return [[cell.text for cell in row.cells] for row in document.tables[1].rows[1:]]


def _printed(document):
    cells = (cell.text for table in document.tables for row in table.rows for cell in row.cells)
    return "\n".join([*(paragraph.text for paragraph in document.paragraphs), *cells])


def _project(folder, more):
    folder.mkdir(exist_ok=True)
    (folder / "project.yaml").write_text(f"{HOUSE}{more}", "utf-8")
    return folder


def test_the_shipped_template_is_what_its_script_makes():
    spec = importlib.util.spec_from_file_location("make_review_reply_template", ROOT / "templates" / "make_review_reply_template.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    shipped, made = zipfile.ZipFile(template_path("review_reply.docx")), zipfile.ZipFile(io.BytesIO(module.template()))
    assert made.namelist() == shipped.namelist()
    for name in made.namelist():
        assert made.read(name) == shipped.read(name), name


def test_each_comment_is_a_row_in_the_order_of_the_file(evaluation):
    first = ReviewComment(comment="Show the torque.", answer="It stands in the schedule.", sheet="E-604", by="R. Oskwell")
    second = ReviewComment(comment="Show the path.", answer="Drawn.", sheet="E-603-2")
    assert _rows(_document(evaluation, first, second)) == [
        ["1", "Show the torque.\nBy R. Oskwell", "It stands in the schedule.", "E-604\nEquipment and panel schedules"],
        ["2", "Show the path.\nReviewer not stated", "Drawn.", "E-603-2\nConductor, raceway and overcurrent schedules"],
    ]


def test_a_comment_without_an_answer_says_so(evaluation):
    document = _document(evaluation, ReviewComment(comment="Why?"), ReviewComment(comment="Where?", answer="  \n", sheet="E-601"))
    rows = _rows(document)
    assert [row[2] for row in rows] == ["○ not answered yet", "○ not answered yet"]
    assert rows[0][3].splitlines()[0] == "–"
    assert "2 comments are not answered yet" in _printed(document)


def test_one_answer_of_two_is_missing(evaluation):
    document = _document(evaluation, ReviewComment(comment="Why?"), ReviewComment(comment="Where?", answer="There."))
    assert "2 review comments; 1 comment is not answered yet." in _printed(document)
    assert [row[2] for row in _rows(document)] == ["○ not answered yet", "There."]


def test_title_block_cautions_and_deference(evaluation):
    """Facts as the demo project file writes them; the newest revision is the one of 2026-03-23."""
    document = _document(evaluation, ReviewComment(comment="Why?"))
    facts = {row.cells[0].text: row.cells[1].text for row in document.tables[0].rows}
    assert facts["Project"] == "Quillfern Lane backup system"
    assert facts["Address"] == "18 Quillfern Lane, Harrow Bend"
    assert facts["Permit number"] == "2026-0142"
    assert (facts["Jurisdiction"], facts["Authority"]) == ("Town of Harrow Bend", "Building Department")
    assert (facts["Revision"], facts["Date of the revision"]) == ("1", "2026-03-23")
    assert re.fullmatch("[0-9A-Z]{4}-[0-9A-Z]{4}", facts["Document ID"])
    text = _printed(document)
    assert "Treat every conductor as energized" in text
    assert "More than one switch must be opened" in text
    assert "does not replace the adopted code, the authority having jurisdiction" in text
    footer = document.sections[0].footer.paragraphs[0].text
    assert "revision 1" in footer
    assert "Document ID" in footer


def test_facts_the_project_does_not_state_say_so(tmp_path):
    """The small house names no permit, no authority and no contractor."""
    opened = open_project(_project(tmp_path / "p", "plan_review: [{comment: Why?}]\n"))
    facts = dict(review_reply_of(opened.evaluation).facts)
    assert facts["Permit number"] == "not stated"
    assert facts["Authority"] == "not stated"


@pytest.mark.nightly
def test_violated_rules_are_said_on_every_page():
    """The demo with mistakes violates rules: the reply must not look clean."""
    opened = open_project(ROOT / "demo_project" / "with_mistakes.yaml")
    document = _document(opened.evaluation, ReviewComment(comment="Why?", answer="So."))
    assert " FAIL, " in document.sections[0].header.paragraphs[0].text
    (status,) = [paragraph.text for paragraph in document.paragraphs if paragraph.text.startswith("Rules:")]
    assert status.startswith("Rules: ✗")
    assert " FAIL, " in status


def test_same_bytes_twice(tmp_path):
    document = next(document for document in DOCUMENTS if document.name == "review_reply")
    made = []
    for folder in ("one", "two"):
        opened = open_project(_project(tmp_path / folder, "plan_review: [{comment: Why?, by: R. Oskwell}]\n"))
        made.append(document.draw(opened, {})["review_reply.docx"])
    assert made[0] == made[1]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_printed_as_it_is(evaluation, text):
    comment = ReviewComment(comment=f"c {text} c", answer=f"a {text} a", by=f"b {text} b")
    (row,) = _rows(_document(evaluation, comment))
    assert row[1] == f"c {text} c\nBy b {text} b"
    assert row[2] == f"a {text} a"


def test_a_comment_of_5000_characters_is_kept_whole(evaluation):
    long = " ".join(f"word{number:05d}" for number in range(500))[:5000].rstrip()
    document = _document(evaluation, ReviewComment(comment=long, answer=long))
    (row,) = _rows(document)
    assert row[1].splitlines()[0] == long
    assert row[2] == long


@pytest.mark.nightly
@pytest.mark.needs_program("soffice")
def test_a_comment_longer_than_a_page_runs_on_over_pages(evaluation, tmp_path):
    """A row that may not break would be cut off at the end of the page; first and last word must be on paper."""
    long = " ".join(f"word{number:05d}" for number in range(1500))
    reply = review_reply_of(_with(evaluation, ReviewComment(comment=long)))
    (tmp_path / "reply.docx").write_bytes(review_reply_docx(reply))
    command = ["soffice", f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--headless", "--convert-to", "pdf", "reply.docx"]
    subprocess.run(command, cwd=tmp_path, capture_output=True, check=True, timeout=120)
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(tmp_path / "reply.pdf")]
    assert len(pages) > 1
    assert all(f"word{number:05d}" in " ".join(pages) for number in range(1500))


def test_nothing_is_written_without_comments(tmp_path):
    opened = open_project(_project(tmp_path / "p", ""))
    assert set(build_package(opened, tmp_path / "out", only=("review_reply",)).files) == {"manifest.json"}


def test_the_demo_answers_every_comment(demo, tmp_path):
    files = build_package(demo, tmp_path / "out", only=("review_reply",)).files
    rows = _rows(Document(io.BytesIO(files["review_reply.docx"])))
    assert len(rows) == 3
    assert not any("not answered" in row[2] for row in rows)


def test_a_company_template_stands_over_the_shipped_one(tmp_path):
    folder = _project(tmp_path / "p", "plan_review: [{comment: Why?}]\n")
    (folder / "templates").mkdir()
    own = Document()
    own.add_paragraph("Our letter: {{ standing }}")
    own.save(folder / "templates" / "review_reply.docx")
    files = build_package(open_project(folder), tmp_path / "out", only=("review_reply",)).files
    (paragraph,) = Document(io.BytesIO(files["review_reply.docx"])).paragraphs
    assert paragraph.text == "Our letter: 1 review comment; 1 comment is not answered yet."


def test_every_field_of_the_reply_is_documented(evaluation):
    from permitgen.documents.review_reply_docx import review_reply_fields

    text = (ROOT / "templates" / "README.md").read_text("utf-8")
    fields = review_reply_fields(review_reply_of(_with(evaluation, ReviewComment(comment="Why?"))))
    names = [f"title.{name}" for name in fields["title"]] + [name for name in fields if name != "title"] + list(fields["answers"][0])
    assert [name for name in names if f"`{name}`" not in text] == []


def test_sheets_that_can_be_named_are_those_of_the_plan_set():
    assert set(choice_references._PLAN_SHEETS) == set(SHEETS)


@pytest.mark.parametrize("sheet", [*SHEETS, "E-603-2", "E-607-12"])
def test_sheets_of_the_plan_set_are_taken(tmp_path, sheet):
    opened = open_project(_project(tmp_path / "p", f"plan_review: [{{comment: Why?, sheet: {sheet}}}]\n"))
    assert opened.evaluation.system.review_comments[0].sheet == sheet


@pytest.mark.parametrize("sheet", ["E-610", "E601", "e-601", "E-601-1", "X"])
def test_a_sheet_that_does_not_exist_is_one_message(tmp_path, sheet):
    folder = _project(tmp_path / "p", f"plan_review:\n  - comment: Why?\n    sheet: {sheet}\n")
    with pytest.raises(ProblemsError) as caught:
        open_project(folder)
    (problem,) = caught.value.problems
    assert (problem.line, problem.column) == (len(HOUSE.splitlines()) + 3, 12)
    assert f'plan_review[1].sheet: the plan set has no sheet "{sheet}"' in str(problem)
    assert ('did you mean "E-601"?' in str(problem)) == (sheet in ("E-610", "E601", "e-601", "E-601-1"))


def test_a_wrong_sheet_ends_the_build_with_status_2_and_writes_nothing(tmp_path):
    shutil.copy(ROOT / "tests" / "cli" / "bad_files" / "41_no_such_sheet.yaml", tmp_path / "project.yaml")
    command = [sys.executable, "-m", "permitgen", "build", "project.yaml"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert [path.name for path in tmp_path.iterdir()] == ["project.yaml"]
