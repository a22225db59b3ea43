"""Pages of the calculation PDF: nothing outside the margins or overlapping, headings kept, footers, page numbers, links."""

import io
import shutil
from collections import Counter
from dataclasses import replace
from functools import reduce
from pathlib import Path

import pypdfium2
import pytest
from pypdf import PdfReader

from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.shapes import Bookmark, Group, Link, Text
from permitgen.documents.canvas.styles import MM_PER_POINT
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.typography import SCALE
from permitgen.documents.derivations_pdf import derivations_pdf
from permitgen.documents.derivations_pdf_pages import derivation_pages
from permitgen.documents.titled_pdf import shortened
from permitgen.package.opened_project import open_project
from permitgen.values.expression import Operation, Symbol
from permitgen.views.calculation_sheet import view_of
from permitgen.views.explanation import Term

ROOT = Path(__file__).resolve().parents[2]
# Letter paper with the margins of the text documents; running lines stand between 8 mm from the top and 10 mm from the bottom.
LEFT, RIGHT, TOP, BOTTOM = 22.0, 215.9 - 18.0, 8.0, 279.4 - 10.0
LEAST_LETTERS_PT = 7.5


@pytest.fixture(scope="module")
def sheet(demo):
    return view_of(demo.evaluation)


@pytest.fixture(scope="module")
def violating(tmp_path_factory):
    """A 60 A branch circuit on 12 AWG copper: no edition of the code allows it."""
    folder = tmp_path_factory.mktemp("violating")
    shutil.copytree(ROOT / "demo_project", folder, ignore=shutil.ignore_patterns("package"), dirs_exist_ok=True)
    old = "runs: R10\n    conductors: {insulation: THWN-2, neutral: no}"
    text = (folder / "project.yaml").read_text("utf-8")
    assert text.count(old) == 1
    (folder / "project.yaml").write_text(text.replace(old, old.replace("{insulation", "{size: 12 AWG, insulation")), "utf-8")
    opened = open_project(folder)
    return view_of(opened.evaluation)


@pytest.fixture(scope="module")
def crowded(violating):
    """Long words everywhere: names, sums, sections and findings that are longer than any column."""
    words = "Extraordinarily-long/name_of.a:subject, " * 4
    long_sum = reduce(lambda left, right: Operation("+", left, right), [Symbol(Term("I", "", "11.6\xa0A"))] * 40)
    title = replace(violating.title, project=words, jurisdiction=words, status=words, contractor=words, address=words)
    block = violating.groups[0].blocks[0]
    steps = tuple(
        replace(step, formula=long_sum, symbol=f"I_{'subscript' * 5}", section="999 and all that follows") for step in block.steps
    )
    checks = tuple(replace(check, title=words, message=words, section=words) for check in block.checks)
    long_block = replace(
        block, tag="A-tag-that-is-too-long", name=words, facts=((words, words), *block.facts), checks=checks * 12, steps=steps
    )
    groups = (replace(violating.groups[0], blocks=(long_block, *violating.groups[0].blocks[1:])), *violating.groups[1:])
    findings = tuple(replace(finding, title=words, suggestions=(words,) * 3, missing=(words,)) for finding in violating.open_findings)
    return replace(violating, title=title, groups=groups, open_findings=findings)


@pytest.fixture(scope="module", params=["violating", "crowded", pytest.param("sheet", marks=pytest.mark.nightly)])
def pages(request):
    return derivation_pages(request.getfixturevalue(request.param))


@pytest.fixture(scope="module")
def pdf(sheet):
    return derivations_pdf(sheet)


def _texts(page):
    return [(shape, box) for shape, box in placed_boxes(page.shapes) if isinstance(shape, Text)]


def test_every_letter_stands_inside_the_margins(pages):
    # A letter may bear a little to the left of its origin; half a millimeter is more than any of the face does.
    column = Box(LEFT, TOP, RIGHT, BOTTOM).grown(0.5)
    for number, page in enumerate(pages, start=1):
        assert not [(number, shape.text) for shape, box in _texts(page) if not column.contains(box)]


def test_no_text_stands_on_another(pages):
    for number, page in enumerate(pages, start=1):
        # Indices stand a little below the line and close up to their letter: 0.3 mm is less than the space of a line.
        assert not [(number, pair) for pair in text_overlaps(page.shapes, tolerance_mm=0.3)]


def test_no_letter_is_smaller_than_it_may_be(pages):
    smallest = min(shape.style.size_mm for page in pages for shape, _ in _texts(page))
    assert smallest >= LEAST_LETTERS_PT * MM_PER_POINT - 1e-6


def test_no_heading_ends_a_page(pages):
    headings = {SCALE.heading[0], SCALE.heading[1]}
    for number, page in enumerate(pages, start=1):
        body = [(box.bottom, shape) for shape, box in _texts(page) if 22.0 < box.top < 258.0]
        lowest = max(body, key=lambda item: item[0])[1]
        assert lowest.style not in headings, (number, lowest.text)


def test_every_page_carries_revision_document_id_and_number(sheet, pdf):
    document = pypdfium2.PdfDocument(pdf)
    for number, page in enumerate(document, start=1):
        text = page.get_textpage().get_text_range()
        assert f"revision {sheet.title.revision} · Document ID {sheet.document_id}" in text
        assert f"Page {number} of {len(document)}" in text


def test_violations_are_said_on_every_page_and_only_where_there_are_any(violating, sheet):
    for page in derivation_pages(violating):
        assert f"✗ NOT FOR PERMIT. {violating.title.status}" in [shape.text for shape, _ in _texts(page)]
    assert not sheet.title.has_violations
    assert not [shape.text for page in derivation_pages(sheet)[1:] for shape, _ in _texts(page) if sheet.title.status in shape.text]


def test_every_page_renders_with_ink_on_it(pdf):
    for page in pypdfium2.PdfDocument(pdf):
        image = page.render(scale=0.5).to_pil().convert("L")
        assert sum(image.histogram()[:160]) > 200


def test_outline_lists_every_section_and_subject(sheet, pdf):
    reader = PdfReader(io.BytesIO(pdf))

    def titles(items):
        return [title for item in items for title in (titles(item) if isinstance(item, list) else [item.title])]

    listed = Counter(" ".join(title.replace("\xa0", " ").split()) for title in titles(reader.outline))
    for group in sheet.groups:
        assert sum(group.title in title for title in listed) == 1
        for block in group.blocks:
            assert any(title.startswith(block.tag) for title in listed)


def _placed(shapes, kind, x=0.0, y=0.0):
    """Yield the shapes of a kind with their place on the page; documents in columns only move their groups."""
    for shape in shapes:
        if isinstance(shape, Group):
            yield from _placed(shape.shapes, kind, x + shape.transform.e, y + shape.transform.f)
        elif isinstance(shape, kind):
            yield x, y + shape.y, shape


def test_contents_name_the_page_on_which_each_section_begins(sheet):
    pages = derivation_pages(sheet)
    lines = {}
    for number, page in enumerate(pages[:2]):  # long contents go on to the second page
        for x, y, text in _placed(page.shapes, Text):
            lines.setdefault((number, round(y, 2)), []).append((x + text.x, text.text))
    rows = [[text for _, text in sorted(found)] for found in lines.values()]
    named = {f"{row[0]}  {row[1]}": int(row[-1]) for row in rows if row[0].isdigit() and not row[1].isdigit() and row[-1].isdigit()}
    begins = {
        text.text: number
        for number, page in enumerate(pages, 1)
        for _, _, text in _placed(page.shapes, Text)
        if text.style == SCALE.heading[0]
    }
    assert len(named) >= len(sheet.groups) + 4
    assert {title: begins.get(title) for title in named} == named


def test_each_link_leads_to_the_page_of_its_bookmark(sheet, pdf):
    pages = derivation_pages(sheet)
    page_of = {mark.key: number for number, page in enumerate(pages) for _, _, mark in _placed(page.shapes, Bookmark)}
    reader = PdfReader(io.BytesIO(pdf))
    numbers = {page.indirect_reference.idnum: number for number, page in enumerate(reader.pages)}
    count = 0
    for page, written in zip(pages, reader.pages, strict=True):
        wanted = [page_of[link.bookmark] for _, _, link in _placed(page.shapes, Link)]
        found = [numbers[annotation.get_object()["/Dest"][0].idnum] for annotation in written.get("/Annots", [])]
        assert found == wanted
        count += len(found)
    assert count > 50


def test_only_faces_of_the_program_are_used_and_embedded(pdf):
    fonts = {}
    for page in PdfReader(io.BytesIO(pdf)).pages:
        fonts.update({name: font.get_object() for name, font in page["/Resources"]["/Font"].items()})
    assert all("/FontFile2" in font["/FontDescriptor"] for font in fonts.values())


def test_a_running_line_is_shortened_in_its_middle():
    style = SCALE.small
    whole = "Electrical calculations · " + "a very long name of a project " * 10
    short = shortened(whole, style, 80.0)
    assert text_width(short, style) <= 80.0
    assert short.startswith("Electrical")
    assert "…" in short
    assert shortened("short", style, 80.0) == "short"
