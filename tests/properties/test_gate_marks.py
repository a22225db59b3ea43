"""Plates and labels of a shut gate say so on every sheet; their Document IDs are those of the open gate.

What shuts it here: a rapid shutdown switch whose test failed (690.12), so that the plate would claim what was shown to be false.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from permitgen.documents.canvas.bounds import outside
from permitgen.documents.canvas.page import Page
from permitgen.documents.gate_mark import gate_mark
from permitgen.package.documents import DOCUMENTS
from permitgen.package.field_and_record import checklist_lines_of
from permitgen.package.label_job import labels_of
from permitgen.package.opened_project import open_project
from permitgen.package.standing import hanging_mark
from permitgen.project.field_batches import FIELD_FOLDER, Batch, batch_file
from permitgen.project.field_results import ResultEntry
from permitgen.views.placard import placards_of

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
DRAW = {document.name: document.draw for document in DOCUMENTS}


@pytest.fixture(scope="module")
def shut(tmp_path_factory):
    folder = tmp_path_factory.mktemp("house") / "demo"
    shutil.copytree(DEMO, folder)
    lines = checklist_lines_of(open_project(DEMO)).lines
    line = next(line for line in lines if line.safety == "rapid shutdown" and line.rule.kind == "number")
    failed = ResultEntry(
        id=f"{1:032x}",
        line=line.id,
        at="2026-05-15T08:00:00.000Z",
        by="BQ",
        answer="value",
        value="9999",
        unit=line.unit,
        inputs={also.name: "9999" for also in line.rule.also},
    )
    name, content = batch_file(Batch("HB-0142", 1, "ab" * 32, (failed,), ()))
    (folder / FIELD_FOLDER / name).write_bytes(content)
    return open_project(folder)


def _pages(content):
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(BytesIO(content)).pages]


@pytest.mark.nightly
def test_an_open_gate_marks_nothing(demo):
    assert hanging_mark(demo) == ""
    for name in ("placard", "labels"):
        files = DRAW[name](demo, {})
        assert not any("NOT FOR HANGING" in page for file, content in files.items() if file.endswith(".pdf") for page in _pages(content))


@pytest.mark.parametrize("name", ["placard", "labels"])
def test_every_sheet_of_a_shut_gate_says_so_with_the_count(shut, name):
    assert re.fullmatch(r"NOT FOR HANGING \(1\)", hanging_mark(shut))
    files = DRAW[name](shut, {})
    for file, content in files.items():
        if file.endswith(".pdf"):
            assert all("NOT FOR HANGING (1)" in page for page in _pages(content)), file
        if file.endswith(".svg"):
            assert b"layer-gate" in content, file


def test_the_mark_is_of_the_sheet_and_not_of_what_it_says(shut, demo):
    assert [label.document_id for label in labels_of(shut).labels] == [label.document_id for label in labels_of(demo).labels]
    assert [p.document_id for p in placards_of(shut.evaluation)] == [p.document_id for p in placards_of(demo.evaluation)]


@pytest.mark.parametrize("size", [(40.0, 9.0), (133.0, 52.0), (279.4, 355.6)])
def test_the_mark_stays_on_the_sheet_and_its_words_can_be_read(size):
    page = Page(*size, (gate_mark(*size, "NOT FOR HANGING (12)"),))
    assert outside(replace(page)) == ()
