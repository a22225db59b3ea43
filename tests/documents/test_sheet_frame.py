"""Frame and title block: nothing over the border, nothing in the seal or the stamp, lettering large enough, whatever the project says.

Sheet numbers: US National CAD Standard, Uniform Drawing System (discipline, hyphen, sheet type, sequence). Least height of capitals
3/32 in: the same standard (both from memory). Ten-point type: asked by San Francisco, Woodside and Tucson.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.colors import SAFETY_RED
from permitgen.documents.canvas.shapes import Path, Text
from permitgen.documents.canvas.to_png import page_image
from permitgen.documents.sheets.frame import PAPERS, frame_of
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.sheet import Drawing, room_for_drawing, sheet_page
from permitgen.documents.sheets.title_block import LEAST_STAMP_MM, SheetName
from permitgen.views.plan_sheets import SHEETS, RevisionRow, TitleBlock

LARGE, SMALL = ("ANSI B", "ANSI C", "ANSI D", "Arch C", "Arch D", "tabloid"), ("letter",)
PAPER_NAMES = LARGE + SMALL
SHORT = TitleBlock(
    project="House",
    preparer=("Fenwater Electric",),
    site=("7 Sedgewick Row",),
    owner="",
    codes=("NEC 2023",),
    revisions=(RevisionRow("0", "2026-01-12", "First submission", "P. Hollin"),),
    number="T-01",
    permit_number="",
    program="",
    caution="Treat every conductor as energized until tested.",
    status="Checked: 458 pass, 0 cautions, 0 not checked. See E-605.",
    violation="",
)
LONG = TitleBlock(
    project="Replacement of the service, " * 6,
    preparer=(
        "The Amalgamated Electricians of the Northern Valleys and Adjoining Townships",
        "Bartholomew Q. Featherstonehaugh",
        *["License 77-1234-C10"] * 4,
    ),
    site=(
        "12345 Old Mill Road at the Corner of the Upper Meadow Lane, Unincorporated",
        "County of Tarnmoor, Department of Building and Safety",
    ),
    owner="The Trustees of the Estate of the late Wilhelmina Ambley-Worthington",
    codes=("NEC 2023", "IRC 2021", "with amendments: ordinance 2024-117 of the county, ordinance 88 of the fire district"),
    revisions=tuple(
        RevisionRow(str(n), "2026-01-12", "Answer to the comments of the plan check, sheet by sheet", "P. Hollin") for n in range(9)
    ),
    number="0123456789" * 4,
    permit_number="0123456789" * 4,
    program="0.1.0",
    caution="Treat every conductor as energized until tested de-energized with a tester checked on a known live source. " * 3,
    status="Checked: 12 FAIL, 400 pass, 7 cautions, 31 not checked (information missing). See E-605.",
    violation="NOT FOR PERMIT: 12 violations, numbered in red. Checked: 12 FAIL, 400 pass, 7 cautions, 31 not checked. See E-605.",
)
BLOCKS = {"short": SHORT, "long": LONG}


def page_of(block: TitleBlock, paper: str, number: str = "E-601"):
    return sheet_page(
        Drawing(SheetName(number, SHEETS.get(number, "One-line diagram"), document_id="AB12-CD34"), ()),
        block,
        frame_of(PAPERS[paper]),
        "8 of 14",
    )


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("block", BLOCKS)
def test_texts_keep_apart_and_inside(block, paper):
    page = page_of(BLOCKS[block], paper)
    assert text_overlaps(page.shapes) == ()
    sheet = Box(0, 0, page.width_mm, page.height_mm)
    margin = 6.3  # printers need a quarter of an inch; zone letters stand in the margin
    for shape, box in placed_boxes(page.shapes):
        if isinstance(shape, Text):
            assert sheet.grown(-2.0).contains(box), shape.text
            assert shape.style.cap_height_mm >= 3 / 32 * 25.4
            assert shape.style.size_mm >= 10 / 72 * 25.4 - 1e-9
        else:
            assert sheet.grown(-margin + 3.0).contains(box)


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("block", BLOCKS)
def test_texts_of_the_block_stay_in_it(block, paper):
    frame = frame_of(PAPERS[paper])
    page = page_of(BLOCKS[block], paper)
    inside = [(s, b) for s, b in placed_boxes(page.shapes) if isinstance(s, Text) and b.left > frame.block.left and b.top > frame.block.top]
    texts = [(s, b) for s, b in inside if b.left < frame.border.right and b.top < frame.border.bottom]
    assert len(texts) > 8
    for shape, box in texts:
        assert frame.block.contains(box), shape.text


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("block", BLOCKS)
@pytest.mark.parametrize("count", [1, 2, 3, 5])
def test_a_sheet_of_many_subjects_keeps_its_title_and_number_in_the_block(block, paper, count):
    """Subjects that share a sheet are named in its title; the last of the cells, the number, stands above the border."""
    title = "; ".join(list(SHEETS.values())[-count - 1 : -1])
    frame = frame_of(PAPERS[paper])
    page = sheet_page(Drawing(SheetName("E-601-2", title, document_id="AB12-CD34", mark="1"), ()), BLOCKS[block], frame, "16 of 37")
    placed = [(s, b) for s, b in placed_boxes(page.shapes) if isinstance(s, Text)]
    assert text_overlaps(page.shapes) == ()
    (number,) = [b for s, b in placed if s.text == "E-601-2"]
    assert frame.block.contains(number)
    (position,) = [b for s, b in placed if s.text == "Sheet 16 of 37"]
    assert frame.block.contains(position)


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("block", BLOCKS)
def test_seal_is_an_empty_two_inch_square(block, paper):
    """State seals are 1-5/8 to 2 in across (common practice, no published source): the square is 2 in and stays white."""
    page = page_of(BLOCKS[block], paper)
    squares = [
        b
        for s, b in placed_boxes(page.shapes)
        if isinstance(s, Path) and s.pen is not None and abs(b.width - 50.8) < 0.3 and abs(b.height - 50.8) < 0.3
    ]
    assert len(squares) == 1
    assert is_white(page, squares[0].grown(-0.6))


@pytest.mark.parametrize("paper", PAPER_NAMES)
def test_stamp_area_is_free_and_large(paper):
    page = page_of(LONG, paper)
    caption = next(b for s, b in placed_boxes(page.shapes) if isinstance(s, Text) and s.text == "APPROVAL STAMP")
    width = 36.0 if paper in SMALL else 55.0
    middle = (caption.left + caption.right) / 2
    free = Box(middle - width / 2 + 1.0, caption.bottom + 1.0, middle + width / 2 - 1.0, caption.bottom + LEAST_STAMP_MM - 10.0)
    assert is_white(page, free)


@pytest.mark.parametrize("paper", ["ANSI B", "letter"])
def test_stamp_and_seal_keep_their_place_through_the_set(paper):
    """Culver City asks that the stamp's room is at the same place on every sheet."""
    pages = [page_of(SHORT, paper, number) for number in SHEETS]
    places = {
        next(
            (round(b.left, 3), round(b.top, 3))
            for s, b in placed_boxes(p.shapes)
            if isinstance(s, Text) and s.text == "FOR SEAL, IF REQUIRED"
        )
        for p in pages
    }
    assert len(places) == 1


@pytest.mark.parametrize("number", SHEETS)
def test_sheet_numbers_have_the_national_form(number):
    assert re.fullmatch(r"[A-Z]{1,2}-[0-9](0[1-9]|[1-9][0-9])", number)
    page = page_of(SHORT, "ANSI B", number)
    assert page.label == number
    sizes = {s.text: s.style.cap_height_mm for s, _ in placed_boxes(page.shapes) if isinstance(s, Text)}
    assert sizes[number] == max(sizes.values())


@pytest.mark.parametrize("paper", PAPER_NAMES)
def test_a_violation_stands_on_the_sheet_and_takes_room_from_the_drawing(paper):
    frame = frame_of(PAPERS[paper])
    words = " ".join(s.text for s, _ in placed_boxes(page_of(LONG, paper).shapes) if isinstance(s, Text))
    assert "NOT FOR PERMIT: 12 violations" in words
    room = room_for_drawing(frame, LONG)
    notice = [b for s, b in placed_boxes(page_of(LONG, paper).shapes) if isinstance(s, Path) and s.fill == SAFETY_RED and b.width > 100]
    assert notice
    assert all(b.bottom <= room.top for b in notice)
    assert room_for_drawing(frame, SHORT).top < room.top


def test_the_status_of_the_rules_is_never_cut():
    for paper in PAPER_NAMES:
        words = " ".join(s.text for s, _ in placed_boxes(page_of(replace(LONG, violation=""), paper).shapes) if isinstance(s, Text))
        assert "12 FAIL" in words
        assert "7 cautions" in words


def is_white(page, box: Box) -> bool:
    dots = 4.0
    image = page_image(page, dots * 25.4).convert("L")
    cut = image.crop(tuple(round(v * dots) for v in (box.left, box.top, box.right, box.bottom)))
    return cut.getextrema() == (255, 255)


def test_lettering_is_one_face_in_two_weights():
    faces = {style.face.name for style in (LETTERING.text, LETTERING.strong, LETTERING.heading, LETTERING.title, LETTERING.sheet_number)}
    assert len(faces) == 2


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("number", ["A-201", "E-601", "E-601-12"])
def test_the_mark_of_a_changed_sheet_touches_no_text(paper, number):
    name = SheetName(number, "One-line diagram", mark="12")
    page = sheet_page(Drawing(name, ()), SHORT, frame_of(PAPERS[paper]), "18 of 24")
    placed = list(placed_boxes(page.shapes))
    big = next(b for s, b in placed if isinstance(s, Text) and s.text == number)
    marks = [b for s, b in placed if isinstance(s, Path) and 6.5 < b.width < 7.6 and 5.5 < b.height < 6.8]
    assert any(b.bottom > big.top - 10 for b in marks)
    assert all(b.shared(big) is None for b in marks)
    assert text_overlaps(page.shapes) == ()
