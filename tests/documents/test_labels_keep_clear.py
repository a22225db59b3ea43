"""What labels of plans leave free: modules with their letters, lot lines; and no table is a ladder of a few words a line.

That lettering is not crossed by lines and breaks none that matters: reference standards for drawings (common practice).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from permitgen.documents.canvas.bounds import Box, placed_boxes
from permitgen.documents.canvas.colors import WHITE
from permitgen.documents.canvas.shapes import Line, Path, Text
from permitgen.documents.canvas.styles import FINE, LONG_TWO_SHORT_DASH, THIN, WIDE
from permitgen.documents.plan_drawing.labels import Clear, LabelRoom
from permitgen.documents.plan_set import plan_set_pages
from permitgen.documents.sheets.block_forms import GroupForms
from permitgen.documents.sheets.elevations import elevations_part
from permitgen.documents.sheets.flowing import Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.frame import PAPERS, frame_of
from permitgen.documents.sheets.roof_plan import roof_plan_part
from permitgen.documents.sheets.site_plan import site_plan_part
from permitgen.package.plan_set_job import drawn_plan_set, plan_set_of
from permitgen.views.calculation_summary import requirement_of
from permitgen.views.schedules import panel_faces
from tests.documents.conftest import PROJECTS

ROOM = Box(0.0, 0.0, 340.0, 250.0)


def test_a_label_stays_off_what_it_is_told_to_leave_free():
    space = LabelRoom(ROOM)
    middle, modules = (170.0, 120.0), Box(120.0, 100.0, 220.0, 140.0)
    assert space.label(middle, ("SOUTH ROOF",), within=ROOM)
    assert space.placed[-1].shared(modules) is not None
    assert space.label(middle, ("WEST ROOF",), within=ROOM, clear=Clear((modules,)))
    assert space.placed[-1].shared(modules) is None


def test_a_label_breaks_no_line_that_is_heavier_than_it_may():
    space = LabelRoom(ROOM)
    space.take_outline(((0.0, 102.0), (340.0, 102.0)), 2.0, closed=False)
    assert space.label((170.0, 100.0), ("EQUIPMENT PLAN",), toward=(1.0, 1.0), clear=Clear(lines=2.0))
    box = space.placed[-1]
    assert not box.top < 102.0 < box.bottom


def test_a_leader_stays_off_what_it_does_not_name():
    """Of two units beside each other the left one is named to the right, where its leader would run through the other."""
    other, middle = Box(180.0, 100.0, 220.0, 140.0), 120.0
    crossed = []
    for clear in (None, Clear(no_leader=(other,))):
        space = LabelRoom(ROOM)
        space.areas.append((other, 50.0))
        assert space.label((170.0, middle), ("UNIT 2",), toward=(1.0, 0.0), clear=clear)
        crossed.append([(x1, y1, x2, y2) for x1, y1, x2, y2 in space.leaders if x2 > other.left and y1 == y2 == middle])
    assert crossed[1] == []


@pytest.mark.parametrize("name", ["demo", "b03_whole_home"])
def test_no_leader_of_an_elevation_runs_through_another_enclosure(projects, name):
    """Two batteries on a wall: the leader of one ran through the other and seemed to end there."""
    for forms in elevations_part(plan_set_of(projects[name]).plans.elevations, ROOM).drawings:
        placed = list(placed_boxes(forms[0]().shapes))
        enclosures = [box for shape, box in placed if isinstance(shape, Path) and shape.pen in (WIDE, THIN) and shape.fill == WHITE]
        for line, box in placed:
            if isinstance(line, Line) and line.pen == FINE:
                through = [each for each in enclosures if any(each.grown(-0.5).contains(at) for at in _points_of(line, box))]
                assert len(through) <= 1, name


def _points_of(line, box):
    """Return points along a line where it lies on the sheet."""
    dx, dy = (box.left + box.right - line.x1 - line.x2) / 2, (box.top + box.bottom - line.y1 - line.y2) / 2
    for part in (n / 40 for n in range(41)):
        x, y = line.x1 + (line.x2 - line.x1) * part + dx, line.y1 + (line.y2 - line.y1) * part + dy
        yield Box(x, y, x, y)


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("name", PROJECTS)
def test_no_name_of_a_plane_or_run_lies_among_the_letters_of_modules(projects, name):
    """The letters of an array fill a rectangle: what is not a letter and lies in it is a tag, an arrow or a dimension, not a sentence."""
    view = plan_set_of(projects[name]).plans.roof
    letters = {name for plane in view.planes for name in plane.circuits if name}
    words = {line for plane in view.planes for line in plane.words} | {line for route in view.routes for line in route.words}
    for forms in roof_plan_part(view, ROOM).drawings:
        texts = [(shape.text, box) for shape, box in placed_boxes(forms[0]().shapes) if isinstance(shape, Text)]
        among = [box for text, box in texts if text in letters]
        for text, box in texts:
            if text in words and len(among) > 3:
                around = [each for each in among if abs(_middle(each) - _middle(box)) < 1.0 and each.left < box.left]
                beyond = [each for each in among if abs(_middle(each) - _middle(box)) < 1.0 and each.right > box.right]
                assert not (around and beyond), text


def _middle(box):
    return (box.top + box.bottom) / 2


def test_the_roof_plan_of_the_demo_keeps_its_array_clear(projects):
    view = plan_set_of(projects["demo"]).plans.roof
    (forms,) = roof_plan_part(view, ROOM).drawings
    texts = [(shape.text, box) for shape, box in placed_boxes(forms[0]().shapes) if isinstance(shape, Text)]
    letters = [box for text, box in texts if text in ("A", "B", "C")]
    array = Box(min(b.left for b in letters), min(b.top for b in letters), max(b.right for b in letters), max(b.bottom for b in letters))
    said = [text for text, box in texts if box.shared(array) is not None and text not in ("A", "B", "C", "PV1")]
    assert said == []
    assert "HOUSE FRONT ROOF" in [text for text, _ in texts]


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("paper", ["ANSI B", "letter"])
@pytest.mark.parametrize("name", PROJECTS)
def test_the_name_of_the_equipment_plan_breaks_no_lot_line(projects, name, paper):
    plans = plan_set_of(projects[name])
    for forms in site_plan_part(plans.plans.site, frame_of(PAPERS[paper]).drawing).drawings:
        placed = list(placed_boxes(forms[0]().shapes))
        lots = _lots(placed)
        for shape, box in placed:
            if isinstance(shape, Text) and shape.text == "EQUIPMENT PLAN" and shape.style.cap_height_mm < 3.0:
                assert all(lot.contains(box) or lot.shared(box) is None for lot in lots), (name, paper)


def _lots(placed):
    return [box for shape, box in placed if isinstance(shape, Path) and shape.pen is not None and shape.pen.dash_mm == LONG_TWO_SHORT_DASH]


@pytest.mark.parametrize("right_ft", [87.0, 89.0, 92.0, 95.0, 99.0, 104.0, 110.0])
def test_on_a_narrow_lot_the_name_stands_to_the_other_side(projects, right_ft):
    """The demo with its lot line close to the wall with the equipment, 1 ft and more."""
    view = plan_set_of(projects["demo"]).plans.site
    view = replace(
        view, site=replace(view.site, lot=((0.0, 0.0), (right_ft, 0.0), (right_ft, 120.0), (0.0, 120.0))), lot_lines=(), setbacks=()
    )
    placed = list(placed_boxes(site_plan_part(view, frame_of(PAPERS["ANSI B"]).drawing).drawings[0][0]().shapes))
    lot = max(_lots(placed), key=lambda box: box.width * box.height)
    named = [box for shape, box in placed if isinstance(shape, Text) and shape.text == "EQUIPMENT PLAN" and shape.style.cap_height_mm < 3.0]
    assert len(named) == 1
    assert lot.contains(named[0]) or lot.shared(named[0]) is None


def test_a_table_is_no_ladder_where_it_could_be_wider():
    """A sentence of twenty words in a column of two words a line is ten lines; a table that is so anyway may be as it is."""
    sentence = "21 of 24 devices see less than five times their rating in a fault; the sources' own shutdown clears it while islanded"
    table = schedule(("VERDICT", "SUBJECT", "FINDING", "SECTION"), [("caution", "on the generator", sentence, "common practice")])
    forms = GroupForms((Heading("Open"), table), ROOM)
    for width in range(60, 200, 7):
        piece = forms.as_wide_as(float(width))
        if piece is not None:
            texts = [shape.text for shape in _texts(piece.shapes)]
            assert sum(text in sentence and len(text) > 4 for text in texts) <= 6, width


def test_running_text_below_a_narrow_table_is_wider_than_the_table():
    """The disclaimer below the attachments: 20 words in a column of three are a ladder; in a wide one they are a paragraph."""
    table = schedule(("ARRAY", "PV1"), [("FRAMING", "not stated"), ("SPACING", "not stated")])
    words = "no structural approval is claimed and the strength of roof framing and fasteners is governed by the engineer " * 2
    for text in (Paragraph(words), Notes((words,))):
        piece = next(iter(GroupForms((Heading("As given"), table, text), ROOM)))
        lines = [shape for shape in _texts(piece.shapes) if len(shape.text) > 3 and shape.text in words]
        assert 1 < len(lines) <= 8
    short = next(iter(GroupForms((Heading("As given"), table, Paragraph("as built")), ROOM)))
    assert short.width < piece.width


def test_no_sum_beside_a_panel_begins_with_a_colon(evaluations):
    """b05 stood with ": 200 A": a method that nobody named, in no section of its own, is its numbers alone."""
    sums = [line for face in panel_faces(evaluations["b05_mid_service_equipment"]) for line in face.sums]
    assert sums
    assert not [line for line in sums if line.startswith(":")]


def _texts(shapes):
    return [shape for shape, _ in placed_boxes(shapes) if isinstance(shape, Text)]


def test_no_cell_of_the_open_table_of_the_demo_is_a_ladder(projects):
    plans, sheets = drawn_plan_set(projects["demo"])
    said = next(row[2] for each in plans.summary.schedules if each.title == "Open" for row in each.rows if "devices see" in row[2])
    counts = [_lines_of(said, page) for page in plan_set_pages(plans, sheets)]
    assert 1 <= max(counts) <= 6
    for row in (row for each in plans.summary.schedules if each.title == "Open" for row in each.rows):
        assert not row[2].startswith(f"{row[1]}: "), "the subject stands beside it"


def _lines_of(sentence, page):
    """Return in how many lines a sentence stands in its cell."""
    placed = [(shape.text, box) for shape, box in placed_boxes(page.shapes) if isinstance(shape, Text)]
    left = next((box.left for text, box in placed if " " in text and sentence.startswith(text)), None)
    rest, count = sentence, 0
    while left is not None and rest:
        text = next((text for text, box in placed if abs(box.left - left) < 0.6 and text and rest.startswith(text)), None)
        if text is None:
            return 0
        rest, count = rest[len(text) :].strip(), count + 1
    return count


def test_abbreviations_at_the_head_of_a_line_keep_their_capitals():
    """As the legend of the set spells them: PV, PVC, dc; *Pv* and *Pvc* stood in the table of governing cases."""
    said = [requirement_of(rule) for rule in ("pv-to-storage-ratio", "pvc-ambient", "box-fill", "neutral-former-rating")]
    assert said == ["PV to storage ratio", "PVC ambient", "Box fill", "Autotransformer rating"]
