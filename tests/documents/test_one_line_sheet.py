"""E-601 and E-501 of the demo house and of every topology: clean geometry, and the drawing says what the graph says."""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.diagram.clashes import clashes
from permitgen.documents.diagram.fitting import Area, fit
from permitgen.documents.diagram.sketch import Item, Sketch
from permitgen.documents.sheets.frame import PAPERS, frame_of
from permitgen.documents.sheets.grounding_sheet import grounding_part
from permitgen.documents.sheets.lettering import SMALLEST_CAPITALS_MM
from permitgen.documents.sheets.one_line_sheet import one_line_part
from permitgen.documents.sheets.packing import packed
from permitgen.documents.sheets.sheet import room_for_drawing, sheet_page
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.system.operating_mode import ALL_MODES
from permitgen.system.walks.isolation import shutdown_steps
from permitgen.views.emergency import emergency_of
from permitgen.views.one_line_units import one_line_of
from permitgen.views.plan_grounding import grounding_details_of
from permitgen.views.plan_sheets import title_block_of

ROOT = Path(__file__).parents[2]
PROJECTS = {"demo": ROOT / "demo_project"} | {path.stem: path for path in sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))}
PAPER_NAMES = ("ANSI B", "ANSI D", "letter")


def room_of(evaluation, paper: str) -> Box:
    return room_for_drawing(frame_of(PAPERS[paper]), title_block_of(evaluation))


def words_of(shapes) -> list[str]:
    return [shape.text.replace("\u00a0", " ") for shape, _ in placed_boxes(shapes) if isinstance(shape, Text)]


@pytest.mark.sample(every=11)
@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("name", PROJECTS)
@pytest.mark.parametrize("draw", ["one-line", "grounding"])
def test_sheets_are_clean(evaluations, one_lines, draw, name, paper):
    evaluation = evaluations[name]
    room, one_line = one_lines[name, paper]
    drawings = one_line if draw == "one-line" else packed([grounding_part(grounding_details_of(evaluation), room)], room)
    assert drawings
    for drawing in drawings:
        assert drawing.shapes, drawing.name.number
        assert text_overlaps(drawing.shapes) == ()
        for shape, box in placed_boxes(drawing.shapes):
            assert room.grown(0.6).contains(box), shape
            if isinstance(shape, Text):
                assert shape.style.cap_height_mm >= SMALLEST_CAPITALS_MM
        page = sheet_page(drawing, title_block_of(evaluation), frame_of(PAPERS[paper]), "8 of 14")
        assert text_overlaps(page.shapes) == ()


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("name", PROJECTS)
def test_no_line_runs_through_a_symbol_or_a_text(evaluations, name):
    details = grounding_details_of(evaluations[name])
    for roots in (one_line_of(evaluations[name]).roots, details.bonding, details.shutdown):
        for sketch in fit(roots, Area(340.0, 240.0), "E-601", "E-601-{}") if roots else ():
            box = sketch.box
            assert clashes(sketch.flattened(-box.left, -box.top), Box(0, 0, 340.0, 240.0)) == []


@pytest.mark.parametrize("name", ["demo", "b01_pv_load_side", "b04_partial_backup", "b06b_transfer_switch", "b09_hybrid_inverter"])
def test_the_diagram_fits_one_sheet_of_ansi_b(evaluations, name):
    room = room_of(evaluations[name], "ANSI B")
    assert len(one_line_part(one_line_of(evaluations[name]), room).drawings) == 1


@pytest.mark.parametrize("name", PROJECTS)
def test_discs_carry_the_numbers_of_the_placard(evaluations, name):
    """What the placard numbers n is marked n on the one-line, each once or more, and nothing else is."""
    evaluation = evaluations[name]
    wanted = {str(step.number) for step in emergency_of(evaluation).english.steps}
    units = list(one_line_of(evaluation).units())
    shown = {u.step for u in units} | {
        p.step for u in units for w in (*u.entries, *(w for b in u.branches for w in b.ways)) for p in w.parts
    }
    shown |= {p.step for u in units for p in u.parts}
    shown |= {p.step for u in units for b in u.branches for w in b.ways if w.lead for p in (w.lead.near, w.lead.far) if p}
    assert shown - {""} == wanted
    assert len(wanted) == len(shutdown_steps(evaluation.system).steps)


@pytest.mark.parametrize("name", PROJECTS)
def test_bonds_stand_where_the_project_says(evaluations, name):
    system = evaluations[name].system
    said = {tag for tag, item in system.equipment.items() if item.neutral_bond is not None and item.neutral_bond.state.is_bonded}
    drawn = {unit.tag for unit in one_line_of(evaluations[name]).units() if unit.bond == "bonded"}
    assert drawn == said
    shown = {unit.tag for root in grounding_details_of(evaluations[name]).bonding for unit in root.walk() if unit.bond == "bonded"}
    assert shown == said


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("name", PROJECTS)
def test_every_tag_is_on_the_sheet_and_every_circuit_once(evaluations, name):
    system = evaluations[name].system
    room = room_of(evaluations[name], "ANSI B")
    drawings = packed([one_line_part(one_line_of(evaluations[name]), room)], room)
    words = [word for drawing in drawings for word in words_of(drawing.shapes)]
    for tag in (*system.circuits, *system.controls):
        assert words.count(tag) == 1, tag
    starts = {word.split(" ")[0] for word in words}
    for tag, item in system.equipment.items():
        if not isinstance(item, GroundingElectrodeSystem):
            assert tag in starts, tag


@pytest.mark.parametrize("name", PROJECTS)
def test_modes_are_those_of_the_graph(evaluations, name):
    """Each contact is open exactly in the modes in which its link is: read off the graph again, by another way."""
    system = evaluations[name].system
    table = one_line_of(evaluations[name]).modes
    moving = [link for link in system.graph.links if link.closed_in != ALL_MODES]
    if not table.rows:
        assert not moving or len(system.modes) < 2
        return
    by_mode = {str(mode): mode for mode in system.modes}
    assert [row[0] for row in table.rows] == list(by_mode)
    for row in table.rows:
        assert list(row[1:]) == ["closed" if by_mode[row[0]] in link.closed_in else "open" for link in moving]


def test_busbar_shows_method_and_both_numbers(evaluations):
    """Demo: 195 A of breakers on a 200 A busbar (30 + 30 + 45 + 60 + 30 A, by hand; the main is left out of the sum)."""
    unit = next(u for u in one_line_of(evaluations["demo"]).units() if u.tag == "MID")
    assert 30 + 30 + 45 + 60 + 30 == 195
    assert "195 A ≤ 200 A" in [line.replace("\u00a0", " ") for line in unit.inside]


def test_clash_checker_finds_what_is_wrong():
    """The checker itself: a wire through a text, two texts on each other, ink outside."""
    from permitgen.documents.canvas.styles import WIDE
    from permitgen.documents.sheets.lettering import LETTERING

    sketch = Sketch()
    sketch.text(10.0, 10.0, "LOAD", LETTERING.text)
    clean: list[Item] = sketch.flattened()
    assert clashes(clean, Box(0, 0, 100, 100)) == []
    sketch.text(12.0, 10.5, "LOAD", LETTERING.text)
    assert any("meets" in sentence for sentence in clashes(sketch.flattened(), Box(0, 0, 100, 100)))
    crossed = Sketch()
    crossed.text(10.0, 10.0, "LOAD", LETTERING.text)
    crossed.wire(((0.0, 9.0), (40.0, 9.0)), WIDE)
    assert any("runs through" in sentence for sentence in clashes(crossed.flattened(), Box(0, 0, 100, 100)))
    assert any("outside" in sentence for sentence in clashes(crossed.flattened(), Box(0, 0, 20, 100)))
