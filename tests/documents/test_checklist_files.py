"""The checklist's three files hold the same lines, stay on their pages, take any text as text, and are repeatable."""

from __future__ import annotations

import html
import io
import json
import re
import shutil
import subprocess
from pathlib import Path

import pypdfium2
import pytest
from docx import Document

from permitgen.documents.canvas.table import Cell
from permitgen.documents.canvas.typography import plain_text
from permitgen.documents.checklist_rows import checklist_rows
from permitgen.package.field_and_record import checklist_of, labels_to_place
from permitgen.package.opened_project import open_project
from permitgen.views.field_checklist import view_of
from tests.documents.drawn import files_of

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
HOSTILE = "</script><script>alert(1)</script>{{ 7 * 191 }}{% raw %}&amp;"


@pytest.fixture(scope="module")
def opened(demo):
    return demo


@pytest.fixture(scope="module")
def files(opened):
    return files_of(opened, "field_checklist")


@pytest.fixture(scope="module")
def view(opened):
    return view_of(opened.evaluation, opened.fingerprint, labels_to_place(opened))


def squeezed(text):
    return re.sub(r"\s+", "", text.replace("\u00a0", " "))


def pdf_text(content):
    document = pypdfium2.PdfDocument(content)
    return "".join(document[number].get_textpage().get_text_range() for number in range(len(document)))


def docx_text(content):
    document = Document(io.BytesIO(content))
    cells = [cell.text for table in document.tables for row in table.rows for cell in row.cells]
    return "\n".join([*(p.text for p in document.paragraphs), *cells])


def html_text(content):
    return html.unescape(re.sub(r"<[^>]+>", " ", content.decode("utf-8")))


def test_every_line_stands_in_every_file(files, view):
    texts = {
        "pdf": squeezed(pdf_text(files["field_checklist.pdf"])),
        "docx": squeezed(docx_text(files["field_checklist.docx"])),
        "html": squeezed(html_text(files["field_checklist.html"])),
    }
    for line in view.lines:
        for name, text in texts.items():
            role, _, conductor = line.instruction.partition(": ")
            # On paper the screws of one termination stand together: "L1, L2: 8 AWG Cu, 45 lbf-in".
            of_screw = name != "html" and line.rule.kind == "torque"
            for part in (role, conductor) if of_screw else (line.instruction, line.expected):
                assert squeezed(part) in text, (name, line.id)


def test_the_word_file_has_the_rows_of_the_paper(files, opened):
    """The same looks, tables and single lines in the same order; each answer has a row with room to write."""
    rows = checklist_rows(checklist_of(opened))
    table = Document(io.BytesIO(files["field_checklist.docx"])).tables[-1]
    assert len(table.rows) == len(rows) + 1
    for paper, word in zip(rows, table.rows[1:], strict=True):
        words = [cell.words if isinstance(cell, Cell) else cell for cell in paper.cells]
        assert squeezed(plain_text(words[0])) == squeezed(word.cells[0].text)
        assert len(paper.cells) == 1 or squeezed(plain_text(words[1])) == squeezed(word.cells[1].text)
        assert len(paper.cells) == 1 or word.height.mm >= 6


@pytest.mark.nightly
@pytest.mark.needs_program("soffice")
def test_the_word_file_is_about_as_long_as_the_paper(files, tmp_path):
    """Twelve pages, as on paper; it had been 28, one line a row."""
    (tmp_path / "c.docx").write_bytes(files["field_checklist.docx"])
    subprocess.run(
        [
            shutil.which("soffice"),
            f"-env:UserInstallation={(tmp_path / 'office').as_uri()}",
            "--headless",
            "--convert-to",
            "pdf",
            "--outdir",
            tmp_path,
            tmp_path / "c.docx",
        ],
        check=True,
        capture_output=True,
    )
    assert len(pypdfium2.PdfDocument(tmp_path / "c.pdf")) <= 12


def test_document_id_is_on_every_page(files, opened):
    own = f"Document ID {checklist_of(opened).document_id}"
    document = pypdfium2.PdfDocument(files["field_checklist.pdf"])
    for number in range(len(document)):
        assert own in document[number].get_textpage().get_text_range()
    assert squeezed(own) in squeezed(html_text(files["field_checklist.html"]))


def test_the_form_has_a_rule_for_every_line(files, view):
    text = files["field_checklist.html"].decode("utf-8")
    data = json.loads(re.search(r'<script type="application/json" id="form">(.*?)</script>', text, re.DOTALL).group(1))
    assert set(data["lines"]) == set(view.by_id)
    assert re.findall(r'<article [^>]*data-line="([^"]+)"', text) == [html.escape(line.id) for line in view.lines]
    assert (data["project"], data["revision"], data["fingerprint"]) == ("HB-0142", 1, view.fingerprint)
    for line in view.lines:
        assert data["lines"][line.id]["kind"] == line.rule.kind


def test_the_form_asks_no_other_host(files):
    text = files["field_checklist.html"].decode("utf-8")
    policy = html.unescape(re.search(r'Content-Security-Policy" content="([^"]+)"', text).group(1))
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy
    assert "connect-src" not in policy
    assert not re.findall(r'(?:src|href)="(?:https?:)?//', text)


@pytest.mark.nightly  # two whole packages are compared in each push: test_package
def test_same_project_same_bytes(files):
    assert files_of(open_project(DEMO), "field_checklist") == files


@pytest.mark.nightly
def test_hostile_text_stays_text(tmp_path):
    folder = tmp_path / "project"
    shutil.copytree(DEMO, folder)
    file = folder / "project.yaml"
    file.write_text(file.read_text("utf-8").replace("name: Battery unit 1", f"name: '{HOSTILE}'"), "utf-8")
    files = files_of(open_project(folder), "field_checklist")
    page = files["field_checklist.html"].decode("utf-8")
    assert page.count("<script") == 2
    assert "1337" not in docx_text(files["field_checklist.docx"])
    for text in (
        html_text(files["field_checklist.html"]),
        docx_text(files["field_checklist.docx"]),
        pdf_text(files["field_checklist.pdf"]),
    ):
        assert squeezed(HOSTILE) in squeezed(text)


def test_every_required_label_has_a_line(opened, view):
    for label in labels_to_place(opened):
        assert f"label:{label.id}" + (f":{label.tag}" if label.tag else "") in view.by_id


def test_rows_on_paper_leave_room_to_write(files):
    """No ink of the printed form reaches into the margins: every character lies 10 mm and more inside the sheet."""
    document = pypdfium2.PdfDocument(files["field_checklist.pdf"])
    margin = 10 / 25.4 * 72
    for number in range(len(document)):
        page = document[number]
        width, height = page.get_size()
        text = page.get_textpage()
        for index in range(0, text.count_chars(), 7):
            left, bottom, right, top = text.get_charbox(index)
            assert margin <= left <= right <= width - margin
            assert margin * 0.9 <= bottom <= top <= height - margin * 0.9
