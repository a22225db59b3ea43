"""The plan set as a file: what electronic plan review asks of it.

Menlo Park, Culver City, San Diego, Clark County, Palm Desert, Monterey County and Memphis publish these demands: one plain PDF,
pages of one size lying upright, vector, searchable, no layers, no form fields, no comments, no password, a bookmark a sheet that
begins with its number.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pypdf
import pypdfium2
import pytest

from permitgen.documents.canvas.bounds import placed_boxes, text_overlaps
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.plan_set import plan_set_pages, plan_set_pdf, plan_sheets
from permitgen.documents.sheets.frame import PAPERS
from permitgen.documents.sheets.lettering import SMALLEST_CAPITALS_MM
from permitgen.package.plan_set_job import drawn_plan_set, plan_set_of
from permitgen.views.plan_sheets import SHEETS
from tests.documents.projects import Made

ROOT = Path(__file__).parents[2]
PROJECTS = {"demo": ROOT / "demo_project"} | {path.stem: path for path in sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))}


@pytest.fixture(scope="module")
def plans(projects):
    return Made(lambda name: plan_set_of(projects[name]))


@pytest.fixture(scope="module")
def drawn(plans):
    return plan_set_pdf(replace(plans["demo"], attached=()))


@pytest.fixture(scope="module")
def reader(drawn):
    return pypdf.PdfReader(io.BytesIO(drawn))


@pytest.mark.nightly
def test_same_plans_same_bytes(plans, drawn):
    assert plan_set_pdf(replace(plans["demo"], attached=())) == drawn


def test_small_without_attachments(drawn):
    assert len(drawn) < 5_000_000


def test_every_page_is_one_lying_ansi_b_sheet(reader):
    for page in reader.pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((17 * 72, 11 * 72), abs=0.01)
        assert page.rotation == 0


def test_labels_and_bookmarks_begin_with_the_sheet_number(reader):
    labels = list(reader.page_labels)
    bookmarks = [entry for below in reader.outline if isinstance(below, list) for entry in below]
    titles = [entry["/Title"] for entry in bookmarks]
    assert len(labels) == len(set(labels)) == len(reader.pages)
    assert [title.split(" ")[0] for title in titles] == labels
    assert all(re.match(r"[A-Z]{1,2}-[0-9]{3}(-[0-9]+)?$", label) for label in labels)
    assert {"-".join(label.split("-")[:2]) for label in labels} <= set(SHEETS)
    for entry, page in zip(bookmarks, range(len(reader.pages)), strict=True):
        assert reader.get_destination_page_number(entry) == page


def test_index_links_lead_to_their_sheets(reader, drawn):
    """The link over a sheet number in the index opens the page with that label."""
    labels = list(reader.page_labels)
    document = pypdfium2.PdfDocument(drawn)
    words = document[0].get_textpage()
    followed = {}
    for note in reader.pages[0]["/Annots"]:
        entry = note.get_object()
        assert entry["/Subtype"] == "/Link"
        left, bottom, right, top = (float(v) for v in entry["/Rect"])
        name = words.get_text_bounded(left, bottom, right, top).strip()
        followed[name] = next(n for n, page in enumerate(reader.pages) if page.indirect_reference == entry["/Dest"][0])
    assert len(followed) == len(labels) - 1
    for name, page in followed.items():
        assert labels[page] == name


def test_plain_file_without_layers_fields_comments_or_password(reader):
    root = reader.trailer["/Root"]
    assert not reader.is_encrypted
    assert "/OCProperties" not in root
    assert "/AcroForm" not in root
    for page in reader.pages[1:]:
        assert all(note.get_object()["/Subtype"] == "/Link" for note in page.get("/Annots", ()))


def test_every_font_is_embedded(reader):
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():
            described = font.get_object()
            described = described["/DescendantFonts"][0].get_object() if "/DescendantFonts" in described else described
            assert "/FontFile2" in described["/FontDescriptor"].get_object()


def test_nothing_is_a_picture(reader):
    for page in reader.pages:
        kinds = {value.get_object()["/Subtype"] for value in page["/Resources"].get("/XObject", {}).values()}
        assert "/Image" not in kinds


def test_text_is_searchable(reader, drawn):
    document = pypdfium2.PdfDocument(drawn)
    for number, label in enumerate(reader.page_labels):
        text = document[number].get_textpage().get_text_range()
        assert label in text
        assert "18 Quillfern Lane, Harrow Bend" in text
        assert "Treat every conductor as energized" in text
    one_line = document[list(reader.page_labels).index("E-601")].get_textpage().get_text_range()
    assert "Microgrid interconnect device" in one_line


@pytest.mark.needs_program("qpdf")
def test_qpdf_finds_nothing(tmp_path, projects):
    if shutil.which("qpdf") is None:
        pytest.skip("the program qpdf is not installed")
    file = tmp_path / "plan_set.pdf"
    file.write_bytes(plan_set_pdf(*drawn_plan_set(projects["demo"])))
    found = subprocess.run(["qpdf", "--check", str(file)], capture_output=True, text=True, check=False)
    assert found.returncode == 0, found.stdout + found.stderr


# The usual paper for every project; the others, which take as long each, for every second one and the demo.
SETS = [(name, paper) for paper in PAPERS for name in (PROJECTS if paper == "ANSI B" else list(PROJECTS)[::2])]


@pytest.mark.sample(every=130)
@pytest.mark.parametrize(("name", "paper"), SETS)
def test_every_set_on_every_paper(plans, name, paper):
    """Texts keep apart and are large enough on every sheet of every topology; sheet numbers are in order and unique."""
    asked = replace(plans[name], sheet_size=paper, attached=())
    sheets = plan_sheets(asked)
    pages, sheets = plan_set_pages(asked, sheets), sheets.drawings
    labels = [page.label for page in pages]
    assert labels[0] == "G-001"
    assert len(labels) == len(set(labels))
    firsts = [label for label in labels if label in SHEETS]
    assert firsts == [number for number in SHEETS if number in firsts]
    for page, sheet in zip(pages, sheets, strict=True):
        assert text_overlaps(page.shapes) == (), page.label
        for shape, box in placed_boxes(page.shapes):
            if isinstance(shape, Text):
                assert box.left >= 0
                assert box.right <= page.width_mm
                if "E-608" not in sheet.holds:  # the placard is shown reduced, its true size is stated
                    assert shape.style.cap_height_mm >= SMALLEST_CAPITALS_MM, (page.label, shape.text)
