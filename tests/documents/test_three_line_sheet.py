"""E-602: every conductor of every circuit drawn, poles where conductors open, clean geometry; only where the jurisdiction asks for it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.diagram.clashes import clashes
from permitgen.documents.diagram.fitting import Area, fit
from permitgen.documents.diagram.manner import Manner
from permitgen.documents.diagram.three_line.drafting import ThreeLineDrafting
from permitgen.documents.plan_set import plan_sheets
from permitgen.documents.sheets.frame import PAPERS, frame_of
from permitgen.documents.sheets.lettering import SMALLEST_CAPITALS_MM
from permitgen.documents.sheets.one_line_sheet import one_line_part
from permitgen.documents.sheets.packing import packed
from permitgen.documents.sheets.sheet import room_for_drawing
from permitgen.documents.sheets.three_line_sheet import three_line_part
from permitgen.package.plan_set_job import plan_set_of
from permitgen.views.one_line import Branch, Lead, Part, Unit, Way
from permitgen.views.one_line_units import one_line_of
from permitgen.views.one_line_ways import conductor_names
from permitgen.views.plan_sheets import title_block_of

ROOT = Path(__file__).parents[2]
PROJECTS = {"demo": ROOT / "demo_project"} | {path.stem: path for path in sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))}


@pytest.mark.sample(every=7)
@pytest.mark.parametrize("paper", ["ANSI B", "ANSI D"])
@pytest.mark.parametrize("name", PROJECTS)
def test_sheets_are_clean(evaluations, name, paper):
    evaluation = evaluations[name]
    room = room_for_drawing(frame_of(PAPERS[paper]), title_block_of(evaluation))
    drawings = packed([three_line_part(one_line_of(evaluation), room)], room)
    words = []
    for drawing in drawings:
        assert text_overlaps(drawing.shapes) == ()
        for shape, box in placed_boxes(drawing.shapes):
            assert room.grown(0.6).contains(box)
            if isinstance(shape, Text):
                assert shape.style.cap_height_mm >= SMALLEST_CAPITALS_MM
                words.append(shape.text)
    for tag in (*evaluation.system.circuits, *evaluation.system.controls):
        assert words.count(tag) == 1, tag


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("name", PROJECTS)
def test_no_line_runs_through_a_symbol_or_a_text(evaluations, name):
    for sketch in fit(one_line_of(evaluations[name]).roots, Area(340, 240), "E-602", "E-602-{}", drafting=ThreeLineDrafting()):
        box = sketch.box
        assert clashes(sketch.flattened(-box.left, -box.top), Box(0, 0, 340, 240)) == []


def panel_with(names: tuple[str, ...], part: Part) -> Unit:
    way = Way("1", (part,), Lead(("C1",), "power"), "P.bus", conductors=names)
    load = Unit("A", "appliance", "Load", entries=(Way("", conductors=names),))
    return Unit(
        "P",
        "panelboard",
        "Panel",
        entries=(Way("main", node="P.bus", conductors=("L1", "L2", "N", "G")),),
        branches=(Branch((way,), load),),
    )


@pytest.mark.parametrize(
    ("names", "part", "poles"),
    [
        (("L1", "L2", "G"), Part("breaker", "2P 30 A"), 2),
        (("L1", "L2", "N", "G"), Part("breaker", "2P 30 A"), 2),
        (("L1", "N", "G"), Part("breaker", "1P 20 A"), 1),
        (("L1", "L2", "N", "G"), Part("contact", "200 A", opens_neutral=True), 3),
        (("+", "−", "G"), Part("fuse", "2P 30 A"), 2),
    ],
)
def test_a_pole_stands_in_every_conductor_that_opens_and_in_no_other(names, part, poles):
    items = ThreeLineDrafting()(panel_with(names, part), 0.0, Manner()).sketch.flattened()
    drawn = [item for item in items if item.kind == "symbol" and item.name == part.kind]
    assert len(drawn) == poles


@pytest.mark.parametrize("names", [("L1", "L2", "G"), ("L1", "L2", "N", "G"), ("L2", "N", "G")])
def test_each_conductor_reaches_the_load_in_its_own_track(names):
    """As many lines arrive at the load's edge as the circuit has conductors, 4 mm apart."""
    block = ThreeLineDrafting()(panel_with(names, Part("breaker", "2P 30 A")), 0.0, Manner())
    items = block.sketch.flattened()
    load = max((item.box for item in items if item.kind == "boundary"), key=lambda box: box.left)
    arriving = sorted(
        {item.points[-1][1] for item in items if item.kind == "wire" and item.points and abs(item.points[-1][0] - load.left) < 1e-6}
    )
    assert len(arriving) == len(names)
    assert all(b - a == pytest.approx(4.0) for a, b in pairwise(arriving))


def test_names_follow_the_circuit(evaluations):
    """By hand from the demo file: C7 two ungrounded and ground, C10 with a neutral, C12 one pole on space 6, S1 service without ground."""
    circuits = evaluations["demo"].system.circuits
    assert conductor_names(circuits["C7"]) == ("L1", "L2", "G")
    assert conductor_names(circuits["C10"]) == ("L1", "L2", "N", "G")
    assert conductor_names(circuits["C12"]) == ("L1", "N", "G")
    assert conductor_names(circuits["S1"]) == ("L1", "L2", "N")
    dc = evaluations["b09_hybrid_inverter"].system.circuits["D1"]
    assert conductor_names(dc) == ("+", "−", "G")


@pytest.mark.parametrize("asked", [True, False])
def test_drawn_only_where_it_is_asked_for(projects, asked):
    plans = replace(plan_set_of(projects["b01_pv_load_side"]), with_three_line=asked)
    subjects = {subject for drawing in plan_sheets(plans).drawings for subject in drawing.home_of}
    assert ("E-602" in subjects) is asked
    assert "E-601" in subjects


@pytest.mark.parametrize("name", ["demo", "b05_mid_service_equipment", "b09_hybrid_inverter", "b14_generator_inlet"])
def test_it_says_all_that_the_one_line_says(evaluations, name):
    """Both are read back: each tag, rating, interrupting rating, size and step of E-601 stands on E-602 as often."""
    view, room = one_line_of(evaluations[name]), Box(0, 0, 800, 600)
    one, three = (
        Counter(
            word
            for forms in part.drawings
            for shape, _ in placed_boxes(forms[0]().shapes)
            if isinstance(shape, Text)
            for word in shape.text.split(" ")
        )
        for part in (one_line_part(view, room), three_line_part(view, room))
    )
    assert one
    assert one - three == Counter()
