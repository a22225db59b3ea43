"""Subjects share sheets, references lead to sheets that there are, and a panel is drawn as its project file tells it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from permitgen.documents.canvas.bounds import Box, placed_boxes
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.plan_set import plan_set_pages, plan_sheets
from permitgen.documents.sheets.block_forms import GroupForms, begun
from permitgen.documents.sheets.filling import FilledSheet, PlacedGroup
from permitgen.documents.sheets.flowing import Heading, Notes, schedule
from permitgen.documents.sheets.packing import packed
from permitgen.documents.sheets.panel_face import panel_blocks
from permitgen.documents.sheets.part import SheetPart
from permitgen.documents.sheets.settling import squeezed
from permitgen.package.calculation_job import calculation_of
from permitgen.package.plan_set_job import drawn_plan_set, plan_set_of
from permitgen.views.plan_sheets import SHEETS
from permitgen.views.schedules import panel_faces
from permitgen.views.sheet_marks import NO_MARKS

ROOM = Box(0.0, 0.0, 340.0, 240.0)
REFERENCE = re.compile(r"\b[GCASEZ]-\d{3}(?:-\d+)?\b")


@pytest.mark.sample(every=4)
@pytest.mark.parametrize(("paper", "most"), [("ANSI B", 12), ("ANSI D", 8), ("Arch D", 8), ("letter", 29)])
def test_the_demo_takes_few_sheets_and_refers_to_none_that_is_not_there(projects, paper, most):
    plans, sheets = drawn_plan_set(projects["demo"])
    if paper != plans.sheet_size:
        plans = replace(plans, sheet_size=paper)
        sheets = plan_sheets(plans)
    assert len(sheets.drawings) <= most
    there = {sheet.name.number for sheet in sheets.drawings} | {"Z-001"}
    for page in plan_set_pages(plans, sheets):
        said = {found for shape, _ in placed_boxes(page.shapes) if isinstance(shape, Text) for found in REFERENCE.findall(shape.text)}
        assert said <= there, page.label


@pytest.mark.sample(every=6)
@pytest.mark.parametrize("paper", ["ANSI B", "letter"])
@pytest.mark.parametrize("name", ["demo", "b03_whole_home", "b21_two_service_panels"])
def test_a_subject_stands_on_one_sheet_or_on_sheets_that_follow_each_other(projects, name, paper):
    """Who looks for a table finds it by turning one page (common practice, no published source)."""
    sheets = plan_sheets(replace(plan_set_of(projects[name]), sheet_size=paper)).drawings
    for subject in {subject for sheet in sheets for subject in sheet.holds}:
        where = [position for position, sheet in enumerate(sheets) if subject in sheet.holds]
        assert where == list(range(where[0], where[-1] + 1)), subject


def test_what_belongs_together_stands_on_one_sheet_of_the_demo(projects):
    """The three panels of the demo; a table with its notes; the sentence that sums up with the table that it speaks of."""
    sheets = drawn_plan_set(projects["demo"])[1].drawings
    said = [" ".join(shape.text for shape, _ in placed_boxes(sheet.shapes) if isinstance(shape, Text)) for sheet in sheets]
    for words in (
        ("PANEL MID:", "PANEL HP:", "PANEL PVC:"),
        ("REQUIREMENT", "CODE CHECK SUMMARY"),
        ("FROM TO KIND", "AMPACITY: at the terminals or after factors, whichever is lower"),
    ):
        assert [text for text in said if all(each in text for each in words)], words
        assert sum(words[0] in text for text in said) == 1


def test_the_title_names_every_subject_that_stands_on_a_sheet(projects):
    """Who looks through the index finds a table that goes on from the sheet before by the title of its sheet."""
    for sheet in drawn_plan_set(projects["demo"])[1].drawings:
        own = {number: part for number, part in SHEETS.items() if number in sheet.holds}
        assert sheet.name.title.count(";") == len(own) - 1, sheet.name.number


def test_the_revision_block_counts_no_sheets(projects):
    """A subject takes one sheet, several or a part of one: 12 changed subjects stood on 11 sheets and on 35."""
    plans = drawn_plan_set(projects["demo"])[0]
    assert plans.block.revisions[-1].description.endswith("the changed sheets are marked in the index")


def test_a_table_goes_on_where_its_first_rows_find_room():
    """Six rows at least on either sheet; all rows, in their order, under the headings again."""
    table = (Heading("Circuits"), schedule(("TAG", "FROM"), [(f"C{n}", f"panel {n}") for n in range(30)]))
    room = Box(0.0, 0.0, 120.0, 180.0)
    place, pieces = begun(table, [Box(0.0, 120.0, 120.0, 180.0), Box(0.0, 0.0, 15.0, 180.0)], room)
    assert place == (0.0, 120.0)
    assert pieces[0].height <= 60.0
    said = [[shape.text for shape, _ in placed_boxes(piece.shapes) if isinstance(shape, Text)] for piece in pieces]
    assert [text for texts in said for text in texts if text.startswith("C") and text[1:].isdigit()] == [f"C{n}" for n in range(30)]
    assert all("FROM" in texts and len(texts) >= 2 * 6 for texts in said)
    assert begun(table, [Box(0.0, 160.0, 120.0, 180.0)], room) is None
    assert begun((Heading("Few"), schedule(("TAG", "FROM"), [("C1", "MID")] * 7)), [Box(0.0, 0.0, 120.0, 60.0)], room) is None


def test_what_lies_on_a_sheet_takes_another_form_where_that_makes_room():
    """Two tables that stand one above the other only where the first falls into two columns."""
    room = Box(0.0, 0.0, 130.0, 100.0)
    tall = (Heading("Tall"), schedule(("TAG", "FROM"), [(f"C{n}", f"panel {n}") for n in range(18)]))
    wide = GroupForms((Heading("Wide"), schedule(("FINDING",), [("N" * 56,)] * 4)), room)
    first = GroupForms(tall, room)
    (piece, *_) = [each for each in first if each.height > 60.0]
    sheet = FilledSheet(room, 0).with_piece(PlacedGroup(0, piece, first), (0.0, 0.0))
    assert sheet.with_group(wide, 1) is None
    found = squeezed(sheet, wide, 1)
    assert found is not None
    assert set(found.holds) == {0, 1}


def test_every_subject_is_looked_for_on_one_sheet(projects):
    sheets = drawn_plan_set(projects["demo"])[1].drawings
    homes = [subject for sheet in sheets for subject in sheet.home_of]
    assert len(homes) == len(set(homes))
    assert set(homes) == {subject for sheet in sheets for subject in sheet.holds}
    assert set(homes) <= set(SHEETS)


@pytest.mark.sample(every=6)
def test_the_calculation_names_sheet_and_zone_of_the_set_that_is_drawn(projects):
    """Each place is a sheet of the set, a letter at its side and a number above it, as ASME Y14.1 has zones (from memory)."""
    opened = projects["demo"]
    labels = {sheet.name.number for sheet in drawn_plan_set(opened)[1].drawings}
    calculation = calculation_of(opened)
    named = [each.sheet for each in (*calculation.questions, *calculation.sections) if each.sheet]
    assert named
    for place in named:
        number, zone = place.split(" ")
        assert number in labels
        assert re.fullmatch(r"[A-D][1-8]", zone), place


def test_what_fits_the_free_room_of_a_sheet_opens_no_other():
    """Four notes of a few lines fit one sheet; one of a thousand lines takes several, and the next stands on the last of them."""
    few = [SheetPart(number, groups=[[Heading(number), Notes(("as built",))]]) for number in ("E-603", "E-604", "E-605", "E-607")]
    (sheet,) = packed(few, ROOM)
    assert sheet.holds == sheet.home_of == ("E-603", "E-604", "E-605", "E-607")
    assert sheet.name.number == "E-603"
    long = SheetPart("E-603", groups=[[Heading("Long"), Notes(tuple(f"note {n}" for n in range(400)))]])
    many = packed([long, *few[1:]], ROOM)
    assert len(many) > 1
    assert [drawing.name.number for drawing in many] == ["E-603", *(f"E-603-{n}" for n in range(2, len(many) + 1))]


def test_a_panel_is_as_its_file_tells_it(evaluations):
    """b16: the meter-main is fed at the top, its main interrupts 22 kA, the PV breaker stands in 5 and 7 (project file)."""
    face = next(each for each in panel_faces(evaluations["b16_meter_main_40_a"]) if each.schedule.title.startswith("Panel MM"))
    assert face.supply_end == "top"
    assert face.main == "MAIN 2P 200\u00a0A, 22\u00a0kA"
    (source,) = [each for each in face.breakers if each.kind == "source"]
    assert source.spaces == (5, 7)
    assert "40\u00a0A" in source.words
    assert face.lugs == "FEED-THROUGH LUGS, F1"
    figure = panel_blocks(face, NO_MARKS, with_key=True)[1]
    texts = {shape.text: box for shape, box in placed_boxes(figure.shapes) if isinstance(shape, Text)}
    assert texts[face.main].bottom < texts["1"].bottom < texts["5"].bottom < texts[face.lugs].bottom
    middle = (texts[source.words].top + texts[source.words].bottom) / 2
    assert texts["5"].top < middle < texts["7"].bottom


def test_busbar_methods_stand_beside_the_panel_with_both_numbers(evaluations):
    """b16: 200 A main and 40 A of sources: 240 A > 200 A by the sum, 240 A ≤ 240 A by 120 percent (705.12(B)(3), 2020 numbering)."""
    face = next(each for each in panel_faces(evaluations["b16_meter_main_40_a"]) if each.schedule.title.startswith("Panel MM"))
    said = " ".join(face.sums).replace("\u00a0", " ")
    assert "sum of ratings: 240 A > 200 A" in said
    assert "opposite end, 120 percent: 240 A ≤ 240 A" in said
    assert "FAILS" not in said  # one way of several that the numbers do not allow is no violation
    assert "sum of ratings: 240 A > 200 A, not met" in said
