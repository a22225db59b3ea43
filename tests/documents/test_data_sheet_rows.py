"""The row of a data sheet that a description rests on is boxed where the sheet is attached; what cannot be boxed is said by name."""

from __future__ import annotations

import io
from dataclasses import replace

import pypdf
import pypdfium2
import pytest

from permitgen.documents.canvas.bounds import placed_boxes
from permitgen.documents.canvas.page import LETTER, Document, Page
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.styles import points
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.data_sheet_boxes import draw_boxes, row_boxes
from permitgen.documents.fonts.faces import SANS
from permitgen.documents.plan_set import plan_set_pages
from permitgen.package.plan_set_job import drawn_plan_set, plan_set_files
from permitgen.system.project_facts import ATTACHMENT_KINDS
from permitgen.views.data_sheets import SheetRow
from permitgen.views.plan_coverage import ATTACHED, coverage_of

ROWS = ("Energy", "Largest continuous output current", "Largest overcurrent device")
MM_PER_POINT = 25.4 / 72


def _sheet(turn=0):
    """Two pages; the same words stand at other heights, and once within a sentence that is no row."""
    style = points(SANS, 10)
    first = (
        Text(20, 40, "The output current is that of one unit.", style),
        Text(20, 60, "Output current", style),
        Text(90, 60, "1.38 A", style),
    )
    second = (Text(20, 100, "Output current", style), Text(90, 100, "2.4 A", style))
    data = pdf_bytes(Document(tuple(Page(LETTER.width_mm, LETTER.height_mm, shapes) for shapes in (first, second)), title="Sheet"))
    if not turn:
        return data
    writer = pypdf.PdfWriter(clone_from=pypdf.PdfReader(io.BytesIO(data)))
    for page in writer.pages:
        page.rotate(turn)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _row(page, words="Output current"):
    return SheetRow("Microinverter", "sheets/m.pdf", page, str(page), words)


@pytest.mark.parametrize(("page", "baseline_mm"), [(1, 60.0), (2, 100.0)])
def test_the_box_is_around_the_row_on_the_page_that_is_named(page, baseline_mm):
    """Its baseline stands where it was printed, as deep below the upper edge; the figure at the far side is within."""
    (box,) = row_boxes(_sheet(), [_row(page)]).values()
    assert box.page == page - 1
    baseline = LETTER.height_mm / MM_PER_POINT - baseline_mm / MM_PER_POINT
    assert box.bottom < baseline < box.bottom + box.height - 7.0
    assert box.height < 20.0
    assert box.left < 20.0 / MM_PER_POINT
    assert box.left + box.width > (90.0 + 12.0) / MM_PER_POINT


def test_the_cell_itself_goes_before_a_line_that_begins_alike():
    """*Energy* is a row of the battery's sheet, *Energy storage system, specification* its subtitle."""
    style = points(SANS, 10)
    texts = (Text(20, 30, "Energy storage system", style), Text(20, 60, "Energy", style), Text(90, 60, "12.4 kWh", style))
    data = pdf_bytes(Document((Page(LETTER.width_mm, LETTER.height_mm, texts),), title="Sheet"))
    (box,) = row_boxes(data, [_row(1, "Energy")]).values()
    assert box.bottom < (LETTER.height_mm - 60.0) / MM_PER_POINT < box.bottom + box.height


@pytest.mark.parametrize("row", [_row(3), _row(0), _row(1, "Weight"), _row(1, "current"), _row(1, "")])
def test_a_row_that_is_not_there_has_no_box(row):
    assert row_boxes(_sheet(), [row]) == {}


@pytest.mark.parametrize("turn", [0, 90, 180])
def test_the_frame_is_red_and_leaves_the_words(turn):
    """Drawn in the page's own room: whichever way the page is shown, the frame lies around the same words."""
    data = _sheet(turn)
    (box,) = row_boxes(data, [_row(1)]).values()
    writer = pypdf.PdfWriter(clone_from=pypdf.PdfReader(io.BytesIO(data)))
    draw_boxes(writer.pages[0], [box])
    out = io.BytesIO()
    writer.write(out)
    before, after = (_red(pypdfium2.PdfDocument(content)[0]) for content in (data, out.getvalue()))
    assert before == 0
    assert after > 300
    said = pypdf.PdfReader(io.BytesIO(out.getvalue())).pages[0].extract_text()
    assert "Output current" in said
    assert "1.38 A" in said


def _red(page):
    picture = page.render(scale=1.0).to_pil().convert("RGB").tobytes()
    return sum(r > 150 and g < 110 and b < 120 for r, g, b in zip(picture[::3], picture[1::3], picture[2::3], strict=True))


def test_the_demo_boxes_its_battery_and_says_of_the_others_that_no_sheet_is_attached(projects):
    plans, sheets = drawn_plan_set(projects["demo"])
    battery = next(each for each in plans.attached if each.file == "attachments/battery_unit.pdf")
    assert tuple(row.words for row, _ in battery.boxes) == ROWS
    said = " ".join(s.text for page in plan_set_pages(plans, sheets) for s, _ in placed_boxes(page.shapes) if isinstance(s, Text))
    assert "Z-001, 2, page 1" in said
    assert "not attached" in said
    assert "unchanged but for red boxes" in said
    written = pypdfium2.PdfDocument(plan_set_files(projects["demo"])["plan_set.pdf"])
    assert _red(written[len(written) - 1]) > 600


def test_the_index_leads_to_attached_documents_only_for_what_they_are(projects):
    """A letter of the utility is no structural letter, and a list of rows of data sheets that are not attached is none of them."""
    plans = drawn_plan_set(projects["demo"])[0]
    where = {row.item: row.where for row in coverage_of(("Z-001",), plans.things, plans.not_stated)}
    outside = "by the applicant, separately"
    assert [where[item] for item in ("Specification sheets", "Utility letter")] == ["Z-001", "Z-001"]
    assert [where[item] for item in ("Structural letter or seal", "Evidence of listing", "Installation instructions")] == [outside] * 3
    bare = replace(plans, attached=tuple(replace(each, kind="") for each in plans.attached))
    assert set(ATTACHED.values()) <= set(bare.not_stated)
    assert set(ATTACHED) == set(ATTACHMENT_KINDS)


def test_each_row_that_the_demo_boxes_is_on_its_attached_page(projects):
    """A page or a word that the sheet does not have is a mistake of the file: the sheet of the battery has one page."""
    plans = drawn_plan_set(projects["demo"])[0]
    attached = {each.file for each in plans.attached}
    boxed = {row for document in plans.attached for row, _ in document.boxes}
    assert {row for row in plans.sheet_rows if row.file in attached} == boxed
