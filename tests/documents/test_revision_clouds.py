"""Clouds: what the revision's file says it changed is clouded and nothing else, each cloud has its delta, none runs through letters.

The demo's revision 1 against its kept revision 0, by reading both files: the PV combiner panel moved from the north to the east wall
(place of PVC; route of R5), R6 became 1.5 ft long, the electrode system got its intersystem terminals and bonds.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from permitgen.documents.canvas.bounds import Box, bounds, placed_boxes, text_overlaps
from permitgen.documents.canvas.colors import WHITE
from permitgen.documents.canvas.shapes import Curve, Group, Text
from permitgen.documents.canvas.shapes import Path as Outline
from permitgen.documents.plan_set import sheet_drawings
from permitgen.documents.sheets.frame import PAPERS, frame_of
from permitgen.documents.sheets.packing import packed
from permitgen.documents.sheets.schedule_sheets import schedules_part
from permitgen.documents.sheets.sheet import room_for_drawing
from permitgen.documents.symbols.clouds import BULGE_MM, cloud
from permitgen.documents.symbols.markers import DELTA_SIDE_MM
from permitgen.package.plan_set_job import plan_set_of
from permitgen.views.revision_clouds import NO_CLOUDS, RevisionClouds, changed_rows
from permitgen.views.schedules import Schedule

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def plans(demo):
    return plan_set_of(demo)


@pytest.fixture(scope="module")
def drawn(plans):
    """Room and sheets of the demo by paper, drawn once."""
    return cache(lambda paper: drawings(plans, paper))


def drawings(plans, paper="ANSI B"):
    room = room_for_drawing(frame_of(PAPERS[paper]), plans.block)
    return room, {drawing.name.number: drawing for drawing in sheet_drawings(plans, room)}


def holding(sheets, subject):
    """The sheets on which a subject stands."""
    return [drawing for drawing in sheets.values() if subject in drawing.holds]


def leaves(shapes):
    for shape in shapes:
        if isinstance(shape, Group):
            yield from leaves(shape.shapes)
        else:
            yield shape


def is_cloud(shape) -> bool:
    """An open path of flat arcs whose ends lie on one straight line: nothing else on the sheets is."""
    if not isinstance(shape, Outline) or shape.pen is None or shape.fill is not None or len(shape.segments) < 3:
        return False
    if not all(isinstance(segment, Curve) for segment in shape.segments[1:]):
        return False
    box = bounds([shape])
    if min(box.width, box.height) > BULGE_MM + 0.6 or max(box.width, box.height) < 3.9:
        return False  # a coil of a transformer, a wave in an inverter
    ends = [(segment.x, segment.y) for segment in shape.segments]
    return all(abs((ends[-1][0] - ends[0][0]) * (y - ends[0][1]) - (ends[-1][1] - ends[0][1]) * (x - ends[0][0])) < 1e-6 for x, y in ends)


def is_delta(shape) -> bool:
    """A white triangle with level base, 1/4 in a side (6.5 mm with what its number needs)."""
    if not isinstance(shape, Outline) or len(shape.segments) != 4 or shape.pen is None or shape.fill is not WHITE:
        return False
    xs = [segment.x for segment in shape.segments[:3]]
    return max(xs) - min(xs) == pytest.approx(DELTA_SIDE_MM)


def test_the_tags_are_those_of_the_two_files(plans):
    clouds = plans.clouds
    assert clouds.mark == "1"
    assert clouds.equipment == {"PVC"}
    # Labels are numbered by wall: those of the two that hang between the old and the new place of PVC have other numbers now.
    assert clouds.elevations == {"PVC", "RSI", "HP"}
    assert clouds.units == {"PVC"}
    assert "R5" in clouds.routes
    assert "R1" not in clouds.routes
    first_cells = {(title, row[0]) for title, row in clouds.rows}
    assert ("Raceways and cables", "R6") in first_cells
    assert ("Equipment", "PVC") in first_cells
    assert ("Raceways and cables", "R1") not in first_cells
    assert ("Conductors", "S1") not in first_cells
    assert ("Equipment", "MTR") not in first_cells


def test_a_row_is_changed_when_it_says_something_else():
    before = Schedule("Runs", ("TAG", "KIND"), (("R1", "EMT"), ("R2", "EMT")))
    after = Schedule("Runs", ("TAG", "KIND"), (("R1", "EMT"), ("R2", "RMC"), ("R3", "EMT")))
    assert changed_rows([before], [after]) == {("Runs", ("R2", "RMC")), ("Runs", ("R3", "EMT"))}


@pytest.mark.parametrize("number", ["C-101", "A-101", "A-201", "A-401", "E-601", "E-603", "E-604", "E-605"])
def test_clouded_sheets_have_deltas_with_the_number(drawn, number):
    _, sheets = drawn("ANSI B")
    found = [shape for sheet in holding(sheets, number) for shape in sheet.shapes]
    assert any(is_cloud(shape) for shape in leaves(found))
    deltas = [box for shape, box in placed_boxes(found) if is_delta(shape)]
    numbers = [box for shape, box in placed_boxes(found) if isinstance(shape, Text) and shape.text == "1"]
    assert deltas
    assert all(any(delta.contains(box) for box in numbers) for delta in deltas)


def test_every_run_of_changed_rows_has_one_delta(plans):
    """Rows that follow each other share a cloud: E-603 and E-604, each packed alone, counted from the schedules."""
    room = room_for_drawing(frame_of(PAPERS["ANSI D"]), plans.block)
    for number, schedules in (("E-603", plans.circuits), ("E-604", plans.equipment)):
        runs = 0
        for schedule in schedules:
            marks = [bool(plans.clouds.mark_of_row(schedule.title, row)) for row in schedule.rows]
            runs += sum(mark and not before for before, mark in zip([False, *marks], marks, strict=False))
        alone = packed([schedules_part(number, schedules, marks=plans.marks)], room)
        assert len(alone) == 1
        assert runs == sum(is_delta(shape) for drawing in alone for shape in leaves(drawing.shapes))


@pytest.mark.sample(every=3)
@pytest.mark.parametrize("paper", ["ANSI B", "ANSI D", "letter"])
def test_clouds_stay_in_the_room_and_off_other_texts(drawn, paper):
    room, sheets = drawn(paper)
    for number, drawing in sheets.items():
        if "E-608" in drawing.holds:
            continue
        outside = [shape for shape, box in placed_boxes(drawing.shapes) if not room.contains(box, 0.4)]
        assert not outside, f"{paper}, {number}: beyond the room: {outside[:2]}"
        assert not text_overlaps(drawing.shapes), f"{paper}, {number}: {text_overlaps(drawing.shapes)[:3]}"


@pytest.mark.parametrize("number", ["E-603", "E-604", "E-605", "E-601"])
def test_no_cloud_runs_through_letters(drawn, number):
    """Along its level sides a cloud lies in a band no thicker than its bulge; that band holds the ink of no capital."""
    _, sheets = drawn("ANSI B")
    found = False
    for sheet in holding(sheets, number):
        placed = list(placed_boxes(sheet.shapes))
        texts = [(shape, box) for shape, box in placed if isinstance(shape, Text)]
        bands = [box for shape, box in placed if is_cloud(shape) and box.width > box.height and box.height < 2 * BULGE_MM]
        found = found or bool(bands)
        for band in bands:
            for text, box in texts:
                # Down to the baseline: tails of letters may touch the line between two rows.
                capitals = Box(box.left, box.top, box.right, min(box.bottom, box.top + text.style.cap_height_mm)).grown(-0.15)
                assert band.shared(capitals) is None, f"{number}: a cloud through {text.text!r}"
    assert found


@pytest.mark.nightly
def test_without_the_earlier_file_nothing_is_clouded(demo):
    plans = plan_set_of(replace(demo, before=None))
    assert plans.clouds == NO_CLOUDS
    _, sheets = drawings(plans)
    assert not [number for number, drawing in sheets.items() if any(is_cloud(shape) for shape in leaves(drawing.shapes))]


def test_a_cloud_bulges_outward_by_arcs_of_an_eighth_of_an_inch():
    """Chord c and height h of an arc give its radius c²/8h + h/2; common practice is 1/8 to 1/4 in (3.2 to 6.4 mm)."""
    box = Box(0.0, 0.0, 40.0, 20.0)
    sides = cloud(box)
    reach = [b for _, b in placed_boxes(sides)]
    assert min(b.left for b in reach) == pytest.approx(-BULGE_MM, abs=0.3)
    assert max(b.right for b in reach) == pytest.approx(40.0 + BULGE_MM, abs=0.3)
    chord = 40.0 / 8
    assert 3.1 <= chord**2 / (8 * BULGE_MM) + BULGE_MM / 2 <= 6.4


def test_marks_belong_to_rows_not_to_titles():
    clouds = RevisionClouds(mark="3", rows=frozenset({("Equipment", ("A", "b"))}))
    assert clouds.mark_of_row("Equipment", ("A", "b")) == "3"
    assert clouds.mark_of_row("Equipment", ("A", "c")) == ""
    assert clouds.mark_of_row("Conductors", ("A", "b")) == ""
