"""How an array lies on its roof: dimensions from the project file, and the branch of each module in black and white."""

from __future__ import annotations

import shutil
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.sheets.roof_plan import roof_plan_part
from permitgen.package.opened_project import open_project
from permitgen.reading.problems import ProblemsError
from permitgen.views.plans import plans_of
from tests.reading_paper import put_reading

ROOT = Path(__file__).parents[2]
ROOM = Box(0.0, 0.0, 340.0, 250.0)


def _texts(view):
    drawn = roof_plan_part(view, ROOM).drawings[0][0]()
    assert text_overlaps(drawn.shapes) == ()
    return Counter(shape.text.replace("\u00a0", " ") for shape, _ in placed_boxes(drawn.shapes) if isinstance(shape, Text))


def test_every_module_of_the_demo_names_its_branch(evaluations):
    """Branches A, B and C of eight units each (project file): eight letters of each, and a note that says what they are."""
    view = plans_of(evaluations["demo"]).roof
    said = _texts(view)
    assert {name: said[name] for name in "ABC"} == {"A": 8, "B": 8, "C": 8}
    assert any("name their branch" in note for note in view.notes)


def test_the_first_branch_takes_the_modules_at_the_eave(evaluations):
    """The order that the file tells begins at the eave: the lowest module, farthest down the slope, is of branch A, the highest of C."""
    (plane,) = [plane for plane in plans_of(evaluations["demo"]).roof.planes if plane.circuits]
    down = [sum(x * plane.down[0] + y * plane.down[1] for x, y in module) for module in plane.modules]
    assert plane.circuits[down.index(max(down))] == "A"
    assert plane.circuits[down.index(min(down))] in "BC"


def test_without_an_order_no_module_is_named_and_a_note_says_so(evaluations):
    view = plans_of(evaluations["b01_pv_load_side"]).roof
    assert not any(plane.circuits for plane in view.planes)
    assert any("is not in the project file" in note and "branch" in note for note in view.notes)


def test_field_of_modules_is_dimensioned_as_the_file_places_it(evaluations):
    """b01: the field lies from 4 ft to 44 ft along the eave of 48 ft, 10.5 ft deep and 2 ft above the eave (project file)."""
    view = plans_of(evaluations["b01_pv_load_side"]).roof
    words = {measure.words for measure in view.dimensions}
    assert {"40'-0\"", "10'-6\"", "4'-0\"", "2'-0\""} <= words
    said = _texts(view)
    assert all(said[each] for each in ("40'-0\"", "10'-6\"", "2'-0\""))


def test_dimensions_follow_a_field_that_moves(evaluations):
    """A field that is told elsewhere has other distances: nothing on the plan is a constant."""
    view = plans_of(evaluations["demo"]).roof
    assert "45'-1\"" in {measure.words for measure in view.dimensions}
    bare = replace(view, dimensions=())
    assert not _texts(bare)["45'-1\""]


@pytest.mark.parametrize("order", ["[A]", "[A, B, B]", "[A, B, C, D]", "[A, B, X]"])
def test_an_order_that_is_not_every_branch_once_is_refused(tmp_path, order):
    text = (ROOT / "demo_project" / "project.yaml").read_text("utf-8")
    assert "module_order: [A, B, C]" in text
    folder = tmp_path / "p"
    shutil.copytree(ROOT / "demo_project", folder, ignore=shutil.ignore_patterns("package"))
    (folder / "project.yaml").write_text(text.replace("module_order: [A, B, C]", f"module_order: {order}"), "utf-8")
    put_reading(folder)
    with pytest.raises(ProblemsError, match="is not every branch or string of PV1 once; expected A, B, C in some order"):
        open_project(folder)
