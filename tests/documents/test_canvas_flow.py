"""Text documents: every word is printed once and in order, nothing overlaps or leaves the column, tables carry their heads along."""

import io
import re

import pypdfium2
import pytest
from pypdf import PdfReader

from permitgen.documents.canvas.blocks import Bullets, Facts, Figure, Heading, Note, PageBreak, Paragraph, Space, Title, Together
from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.colors import BLACK
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.flow import Format, Running, flow_pages
from permitgen.documents.canvas.page import A4, Document, Page
from permitgen.documents.canvas.shapes import Line, Text
from permitgen.documents.canvas.strips import Strip, deal_to_pages, together
from permitgen.documents.canvas.table import BARE, GRID, Cell, Column, Row, Table, column_widths, row, table_shapes
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.canvas.typography import SCALE, Run, strong, sub, symbol_runs

FORMAT = Format(
    header=lambda number, count: Running("Calculations", "", f"{number}/{count}"),
    footer=lambda _number, _count: Running("NEC 2023"),
)
SENTENCE = "The smallest standard overcurrent device that is not below the load is 150 A; 1/0 AWG copper carries it at 75 °C. "
ROWS = tuple(
    row(f"C{number}", f"Circuit number {number} of the house", f"{number * 3.25:.2f}", f"{number * 10}") for number in range(1, 90)
)
COLUMNS = (
    Column("Tag", width_mm=15),
    Column("Circuit"),
    Column("Current, A", width_mm=25, align="point"),
    Column("Device, A", share=0, align="right"),
)
BLOCKS = (
    Title("Electrical calculations", "12 Example Lane"),
    Facts((("Service", "200 A"), ("Storage", "12.4 kWh"), ("Edition", "NEC 2023")), columns=2),
    Heading("Service", bookmark="service"),
    Paragraph(SENTENCE * 3),
    Note(SENTENCE, "caution", "Caution."),
    Heading("Circuits", 1),
    Table(COLUMNS, ROWS),
    Bullets((SENTENCE, "Second"), numbered=True),
    Paragraph((Run("See "), Run("service", link="#service"), Run(" or "), Run("example", link="https://example.org/"))),
    Figure((rectangle(0, 0, 50, 30, fill=BLACK),), 30, "A black field"),
    *(block for number in range(12) for block in (Heading(f"Chapter {number}", number % 3), Paragraph(SENTENCE * (number + 2)))),
)


def _texts(page):
    return [(shape, box) for shape, box in placed_boxes(page.shapes) if isinstance(shape, Text)]


def _words(pages):
    return " ".join(" ".join(text.text for text, _ in _texts(page)) for page in pages)


def test_all_words_are_printed_in_order():
    pages = flow_pages((Paragraph(SENTENCE * 60, measure_mm=0),), Format())
    assert len(pages) > 1
    assert " ".join(_words(pages).split()) == " ".join((SENTENCE * 60).split())


def test_nothing_overlaps_and_nothing_leaves_the_column():
    pages = flow_pages(BLOCKS, FORMAT)
    column = Box(FORMAT.left_mm, FORMAT.top_mm, FORMAT.paper.width_mm - FORMAT.right_mm, FORMAT.paper.height_mm - FORMAT.bottom_mm)
    for number, page in enumerate(pages, start=1):
        assert text_overlaps(page.shapes) == ()
        for text, box in _texts(page):
            if text.text not in ("Calculations", "NEC 2023", f"{number}/{len(pages)}"):
                assert column.grown(0.5).contains(box), text.text


def test_running_lines_count_the_pages():
    pages = flow_pages(BLOCKS, FORMAT)
    for number, page in enumerate(pages, start=1):
        words = [text.text for text, _ in _texts(page)]
        assert f"{number}/{len(pages)}" in words
        assert "NEC 2023" in words


def test_table_head_is_repeated_on_each_page_and_rows_appear_once():
    pages = flow_pages((Table(COLUMNS, ROWS),), FORMAT)
    assert len(pages) > 1
    for page in pages:
        assert sum(text.text == "Circuit" for text, _ in _texts(page)) == 1
    words = _words(pages)
    assert all(len(re.findall(rf"\bC{number}\b", words)) == 1 for number in range(1, 90))


def test_headings_are_not_left_alone_at_the_foot():
    pages = flow_pages(BLOCKS, FORMAT)
    for page in pages:
        column = [(box.top, text.style) for text, box in _texts(page) if box.bottom < FORMAT.paper.height_mm - FORMAT.bottom_mm + 0.5]
        assert max(column, key=lambda item: item[0])[1] not in SCALE.heading


def test_blocks_kept_together():
    filler = tuple(Paragraph("x") for _ in range(28))
    group = Together(tuple(Paragraph(f"kept {number}") for number in range(6)))
    pages = flow_pages((*filler, group), Format())
    places = [index for index, page in enumerate(pages) for text, _ in _texts(page) if text.text.startswith("kept")]
    assert len(places) == 6
    assert len(set(places)) == 1


def test_page_break_and_heading_that_begins_a_page():
    pages = flow_pages(
        (Paragraph("one"), PageBreak(), Paragraph("two"), Heading("three", begins_page=True), Space(5), Paragraph("four")), Format()
    )
    assert [[text.text for text, _ in _texts(page)] for page in pages] == [["one"], ["two"], ["three", "four"]]


def test_widows_and_orphans():
    """Two lines of a paragraph at least stay together at the head and foot of a page."""
    for lines in range(40, 54):
        pages = flow_pages((*(Paragraph("x") for _ in range(24)), Paragraph("word " * 22 * (lines - 38))), Format())
        counts = [len({round(box.bottom, 1) for text, box in _texts(page) if "word" in text.text}) for page in pages]
        assert 1 not in counts or sum(counts) == 1


def test_row_taller_than_a_page_is_cut_between_lines():
    long_row = Row(("tag", SENTENCE * 120, "", ""))
    pages = flow_pages((Table(COLUMNS, (long_row,)),), Format(paper=A4))
    assert len(pages) > 1
    printed = " ".join(text.text for page in pages for text, _ in _texts(page) if text.style == SCALE.table and text.text != "tag")
    assert " ".join(printed.split()) == " ".join((SENTENCE * 120).split())


def test_note_longer_than_a_page_and_figure_that_does_not_fit():
    pages = flow_pages((Note(SENTENCE * 90),), Format())
    assert len(pages) == 2
    with pytest.raises(ValueError, match="does not fit in a column"):
        flow_pages((Figure((), 400),), Format())


def test_decimal_points_stand_in_one_line():
    table = Table((Column("A", width_mm=30, align="point"),), tuple(row(value) for value in ("5.29 V", "120 V", "1234.5 V", "0.75 V")))
    shapes, _ = table_shapes(table, 0, 0, 30)
    points = set()
    for text, box in _texts(Page(40, 60, shapes)):
        if text.text != "A":
            points.add(round(box.left + text_width(text.text.split(" ")[0].split(".")[0], text.style), 3))
    assert len(points) == 1


def test_column_widths():
    table = Table(
        (Column("", width_mm=20), Column("", share=2), Column("", share=1), Column("wide head", share=0)), (row("a", "b", "c", "d"),)
    )
    fixed, two, one, natural = column_widths(table, 120)
    assert fixed == 20
    assert two == pytest.approx(2 * one)
    assert natural == pytest.approx(text_width("wide head", SCALE.table_head) + 2 * table.style.pad_x_mm)
    assert sum((fixed, two, one, natural)) == pytest.approx(120)


def test_spans_totals_fills_and_grids():
    table = Table(
        (Column("One"), Column("Two"), Column("Three", align="right")),
        (
            Row(("Section", "", ""), kind="section"),
            row("a", "b", "c"),
            Row((Cell("Total of both", span=2), "12"), kind="total", least_height_mm=10),
        ),
        GRID,
    )
    shapes, height = table_shapes(table, 10, 10, 90)
    page = Page(110, 60, shapes)
    assert text_overlaps(shapes) == ()
    boxes = {text.text: box for text, box in _texts(page)}
    assert boxes["12"].right == pytest.approx(100 - table.style.pad_x_mm)
    assert height > 10
    lines = [shape for shape, _ in placed_boxes(shapes) if isinstance(shape, Line)]
    assert len(lines) > 8
    assert table_shapes(Table((Column(share=0), Column(share=0)), (row("V", "= 5"),), BARE), 0, 0, 50)[1] > 0


def test_outline_and_links_reach_the_reader():
    reader = PdfReader(io.BytesIO(pdf_bytes(Document(flow_pages(BLOCKS, FORMAT), "Calc"))))
    titles = [item.title for item in reader.outline if not isinstance(item, list)]
    assert titles[0] == "Service"
    assert "Chapter 3" in titles
    targets = [annotation.get_object() for page in reader.pages for annotation in page.get("/Annots", [])]
    assert any(target.get("/A", {}).get("/URI") == "https://example.org/" for target in targets)
    assert any("/Dest" in target or target.get("/A", {}).get("/S") == "/GoTo" for target in targets)


def test_same_heading_twice_leads_to_two_places():
    pages = flow_pages((Heading("Same"), Paragraph("a"), Heading("Same"), Paragraph("b")), Format())
    reader = PdfReader(io.BytesIO(pdf_bytes(Document(pages, "x"))))
    first, second = reader.outline
    assert (first.title, second.title) == ("Same", "Same")
    assert first.top > second.top


def test_user_text_is_never_markup():
    hostile = "<b>bold</b> &amp; <img src='x'/> {{ 7*7 }}"
    data = pdf_bytes(Document(flow_pages((Paragraph(hostile, measure_mm=0), Facts((("Name", hostile),))), Format()), "x"))
    text = pypdfium2.PdfDocument(data)[0].get_textpage().get_text_range()
    assert text.count(hostile) == 2


def test_formula_symbols():
    runs = symbol_runs("V_d")
    assert [(run.text, run.kind) for run in runs] == [("V", "italic"), ("d", "sub")]
    (page,) = flow_pages((Paragraph((*runs, Run(" = "), strong("5.29 V"), sub("x"))),), Format())
    texts = {text.text: text for text, _ in _texts(page)}
    assert texts["d"].y > texts["V"].y
    assert texts["d"].style.size_mm < texts["V"].style.size_mm


def test_dealing_strips():
    ten = Strip(10, ())
    assert [len(page) for page in deal_to_pages([ten] * 7, 30)] == [3, 3, 1]
    assert [len(page) for page in deal_to_pages([ten, ten, *together([ten, ten])], 30)] == [2, 2]
    spaced = Strip(10, (), space_before=5)
    assert [[item.y for item in page] for page in deal_to_pages([spaced] * 3, 25)] == [[0, 15], [0]]
    assert [len(page) for page in deal_to_pages(together([ten] * 5), 30)] == [3, 2], "a piece longer than a page is broken after all"
