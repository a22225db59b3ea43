"""Sheets are filled without one thing on another, and tables are as wide as their sheet allows."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace

import pytest

from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.table import column_widths, table_strips
from permitgen.documents.plan_set import plan_set_pages, plan_sheets
from permitgen.documents.sheets.flowing import Heading, Notes, natural_width, schedule
from permitgen.documents.sheets.free_space import FreeSpace
from permitgen.documents.sheets.narrowing import narrowed
from permitgen.documents.sheets.packing import packed
from permitgen.documents.sheets.part import SheetPart
from permitgen.package.plan_set_job import plan_set_of
from tests.documents.conftest import PROJECTS

ROOM = Box(0.0, 0.0, 340.0, 250.0)
ROWS = [(f"C{n}", "working space in front of the panel, kept clear of everything", "110.26(A)") for n in range(9)]
TABLE = schedule(("TAG", "FINDING", "SECTION"), ROWS)


@pytest.mark.parametrize("spares", [False, True])
def test_what_is_placed_never_meets_what_lies_there(seed, spares):
    """Rectangles of all sizes, until nothing more fits: each within the room and apart from every other."""
    made, space, placed = random.Random(seed), FreeSpace(ROOM), []
    for _ in range(120):
        width, height = made.uniform(24.0, 150.0), made.uniform(9.0, 90.0)
        place = space.find_sparing(width, height) if spares else space.find(width, height, from_top=made.random() < 0.5)
        if place is None:
            continue
        box = Box(*place, place[0] + width, place[1] + height)
        assert ROOM.contains(box)
        assert all(box.shared(other.grown(-1e-6)) is None for other in placed)
        placed.append(box)
        space.take(box)
    assert len(placed) > 5
    for width, height in itertools.product((24.0, 60.0, 120.0), (9.0, 40.0, 80.0)):
        if space.find(width, height) is None:
            continue
        left, top = space.find(width, height, from_top=True)
        assert not any(Box(left, top, left + width, top + height).shared(other.grown(-1e-6)) for other in placed)


@pytest.mark.parametrize("part", [1.2, 1.0, 0.8, 0.6, 0.5])
def test_a_narrowed_table_keeps_its_width_and_breaks_no_word(part):
    width = natural_width(TABLE) * part
    table = narrowed(TABLE, width)
    assert sum(column_widths(table, 1e6)) <= width + 1e-6
    texts = [shape.text for strip in table_strips(table, width) for shape, _ in placed_boxes(strip.shapes) if isinstance(shape, Text)]
    said = " ".join(texts)
    assert all(word in said.split() for row in ROWS for cell in row for word in cell.split())
    if part >= 1.0:
        assert table is TABLE


def test_no_table_is_narrowed_to_less_than_its_longest_word():
    assert narrowed(TABLE, 40.0) is None


def test_a_table_with_room_beside_it_breaks_no_line():
    """Two tables that alone would stand in half the width: where both fit as wide as they like, both are so."""
    parts = [SheetPart(number, groups=[[Heading(number), TABLE], [Notes(("as built",))]]) for number in ("E-605", "E-606")]
    (sheet,) = packed(parts, ROOM)
    texts = [shape.text for shape, _ in placed_boxes(sheet.shapes) if isinstance(shape, Text)]
    assert texts.count(ROWS[0][1]) == 2 * len(ROWS)


@pytest.mark.sample(every=23)
@pytest.mark.parametrize("paper", ["ANSI B", "letter", "ANSI D"])
@pytest.mark.parametrize("name", PROJECTS)
def test_nothing_lies_on_another_and_nothing_leaves_its_sheet(projects, name, paper):
    for page in plan_set_pages(replace(plan_set_of(projects[name]), sheet_size=paper, attached=())):
        assert text_overlaps(page.shapes) == (), page.label
        sheet = Box(0.0, 0.0, page.width_mm, page.height_mm)
        assert all(sheet.contains(box) for shape, box in placed_boxes(page.shapes) if isinstance(shape, Text)), page.label


@pytest.mark.sample(every=13)
@pytest.mark.parametrize("name", PROJECTS)
def test_tables_stand_on_a_sheet_with_the_drawing_they_belong_to(projects, name):
    """Of the one-line no table is turned to on another sheet than a part of the diagram (common practice, no published source)."""
    sheets = plan_sheets(replace(plan_set_of(projects[name]), sheet_size="ANSI B")).drawings
    holding = [sheet for sheet in sheets if "E-601" in sheet.holds]
    for sheet in holding:
        said = [shape.text for shape, _ in placed_boxes(sheet.shapes) if isinstance(shape, Text)]
        assert any(text.startswith(("UTIL", "from ", "E-601")) or "match" in text for text in said), sheet.name.number
