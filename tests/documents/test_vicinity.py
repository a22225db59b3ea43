"""The vicinity sketch: streets at the side of the lot where they run, the nearest cross street, north; what nobody states is asked for.

What departments ask of it (a title page with a vicinity map, or a sketch with north): plan-check lists; that a crossing lies toward the
side that was stated and the street along the lot at its own is geometry.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.shapes import Line, Text
from permitgen.documents.plan_drawing.vicinity_drawing import vicinity_shapes
from permitgen.documents.plan_set import plan_set_pages
from permitgen.package.plan_set_job import drawn_plan_set, plan_set_of
from permitgen.project.load import load_project
from permitgen.reading.problems import ProblemsError
from permitgen.system.site.plan import Plan, Street
from permitgen.views.plan_coverage import VICINITY, coverage_of
from permitgen.views.plans.vicinity import Vicinity, VicinityStreet, vicinity_of
from tests.documents.projects import PROJECTS

UP, RIGHT, DOWN, LEFT = range(4)


def test_the_demo_has_the_street_that_is_drawn_and_the_one_that_crosses_it(projects):
    """Its file: the house faces south, Quillfern Lane runs before it, Harrow Road crosses 260 ft to the right, which is east."""
    vicinity = plan_set_of(projects["demo"]).plans.site.vicinity
    assert [(s.name, s.side, s.crosses) for s in vicinity.streets] == [("QUILLFERN LANE", DOWN, None), ("HARROW ROAD", RIGHT, DOWN)]
    assert vicinity.is_whole
    assert vicinity.north_deg == 0.0
    plans, sheets = drawn_plan_set(projects["demo"])
    (page,) = [
        page
        for page in plan_set_pages(plans, sheets)
        if any(isinstance(s, Text) and s.text == "HARROW ROAD" for s, _ in placed_boxes(page.shapes))
    ]
    assert page.label == "C-101"
    rows = {row.item: row.where for row in coverage_of(sheets.homes | {"C-101": "C-101"}, plans.things, plans.not_stated)}
    assert rows[VICINITY] == "C-101"


def test_without_streets_the_applicant_hands_it_in_and_no_sketch_is_drawn():
    empty = vicinity_of(Plan())
    assert empty.is_empty
    assert empty.missing == ("streets", "nearest cross street")
    (row,) = [row for row in coverage_of(("C-101",), frozenset(), (VICINITY,)) if row.item == VICINITY]
    assert row.where == "by the applicant, separately"
    assert not row.is_given


def test_without_a_cross_street_it_is_asked_for_by_name(projects):
    """b24 draws its road and says nothing of what crosses it."""
    plans = plan_set_of(projects["b24_ground_mount"])
    assert not plans.plans.site.vicinity.is_empty
    assert plans.plans.site.vicinity.missing == ("nearest cross street",)
    said = " ".join(s.text for page in plan_set_pages(plans) for s, _ in placed_boxes(page.shapes) if isinstance(s, Text))
    assert "By the applicant, separately: nearest cross street." in said
    assert VICINITY in plans.not_stated


@pytest.mark.parametrize("north_deg", [0.0, 37.0, 143.0, 270.0])
@pytest.mark.parametrize("long", [False, True])
def test_every_street_stands_where_it_is_stated_and_nothing_overlaps(north_deg, long):
    """All sides of the lot, with a crossing toward each side; short names and long ones."""
    name, far = ("THE OLD QUARRY AND UPPER MEADOW ROAD", "1,260'-0\" FROM THE LOT") if long else ("ELM ST", "")
    for along, toward in itertools.product(range(4), range(4)):
        if along % 2 == toward % 2:
            continue
        view = Vicinity((VicinityStreet(name, along), VicinityStreet(f"{name} EAST", toward, along, far)), north_deg, ())
        shapes, height = vicinity_shapes(view)
        assert text_overlaps(shapes) == ()
        boxes = {shape.text: box for shape, box in placed_boxes(shapes) if isinstance(shape, Text)}
        site = boxes["SITE"]
        turned = 2 if 90.0 < north_deg < 270.0 else 0
        for words, side in ((name, along), (f"{name} EAST", toward)):
            box, lying = boxes[words], (side + turned) % 4
            beyond = (box.bottom < site.top, box.left > site.right, box.top > site.bottom, box.right < site.left)
            assert beyond[lying], (words, side, north_deg)
        assert all(Box(-0.5, -1.0, 1e4, height + 0.5).contains(box) for box in boxes.values())


@pytest.mark.parametrize("long", [False, True])
@pytest.mark.parametrize("north_deg", [0.0, 143.0])
def test_no_street_runs_through_the_name_of_another(north_deg, long):
    """Corners, streets on three sides, a crossing beyond a corner: each name stands between two crossings, clear of their lines."""
    names = ("THE OLD QUARRY AND UPPER MEADOW ROAD", "SIDE STREET") if long else ("ELM ST", "OAK ST")
    corners = [(VicinityStreet(names[0], one), VicinityStreet(names[1], other)) for one, other in ((0, 1), (1, 2), (2, 3), (3, 0))]
    three = (*corners[1], VicinityStreet("BACK LANE", 0))
    beyond = (*corners[2], VicinityStreet("HARROW ROAD", 1, 2, "260'-0\" FROM THE LOT"))
    for streets in (*corners, three, beyond):
        shapes, _ = vicinity_shapes(Vicinity(streets, north_deg, ()))
        assert text_overlaps(shapes) == ()
        placed = list(placed_boxes(shapes))
        lines = [box for shape, box in placed if isinstance(shape, Line) and max(box.width, box.height) > 20.0]
        for street in streets:
            (name,) = [box for shape, box in placed if isinstance(shape, Text) and shape.text == street.name]
            assert all(line.shared(name) is None for line in lines), (street.name, streets)


def test_at_a_corner_nobody_is_asked_for_the_cross_street():
    """The lot lies where two streets meet: which one crosses is drawn."""
    corner = vicinity_of(Plan(vicinity=(Street(name="Mill Road", toward_deg=180.0), Street(name="Elm Road", toward_deg=90.0))))
    assert corner.is_whole
    through = vicinity_of(Plan(vicinity=(Street(name="Mill Road", toward_deg=180.0), Street(name="Elm Road", toward_deg=0.0))))
    assert through.missing == ("nearest cross street",)


def test_of_several_crossings_toward_one_side_the_nearest_is_drawn():
    front = Street(name="Mill Road", toward_deg=180.0)
    far, near = (Street(name=f"{ft:.0f} St", toward_deg=90.0, crosses="Mill Road", distance_ft=ft) for ft in (600.0, 260.0))
    unknown = replace(near, name="No St", distance_ft=None)
    assert [street.name for street in vicinity_of(Plan(vicinity=(front, unknown, far, near))).streets] == ["MILL ROAD", "260 ST"]


def test_two_streets_along_one_side_are_drawn_as_one():
    both = tuple(Street(name=name, toward_deg=180.0) for name in ("Frontage Road", "Highway 12"))
    assert vicinity_of(Plan(vicinity=both)).streets == (VicinityStreet("FRONTAGE ROAD, HIGHWAY 12", DOWN),)


@pytest.mark.parametrize("toward_deg", [0.0, 180.0])
def test_what_is_stated_to_cross_toward_the_street_itself_is_not_drawn(toward_deg):
    """A road in front of the house is crossed to the right or left of it."""
    front, odd = Street(name="Mill Road", toward_deg=180.0), Street(name="Elm Road", toward_deg=toward_deg, crosses="mill road")
    found = vicinity_of(Plan(vicinity=(front, odd)))
    assert [street.name for street in found.streets] == ["MILL ROAD"]
    assert found.missing == ("nearest cross street",)


def test_a_compass_word_is_turned_with_the_page():
    """A page whose up is east (90 degrees) has north at its left."""
    plan = Plan(north_deg=90.0, vicinity=(Street(name="Mill Road", toward_deg=(0.0 - 90.0) % 360.0),))
    assert vicinity_of(plan).streets == (VicinityStreet("MILL ROAD", LEFT),)


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("{name: Harrow Road, crosses: Quilfern Lane, toward: right}", 'called "Quilfern Lane"; did you mean "QUILLFERN LANE"?'),
        ("{name: Harrow Road}", "expected side, or crosses and toward"),
        ("{name: Harrow Road, side: right, toward: left, crosses: Quillfern Lane}", "expected side, or crosses and toward"),
        ("{name: Harrow Road, crosses: Quillfern Lane, toward: rigth}", 'did you mean "right"?'),
        ("{name: Harrow Road, side: left, distance: 20 ft}", "distance is that of a street with crosses and toward"),
    ],
)
def test_streets_that_meet_nowhere_are_named(tmp_path, line, message):
    text = (PROJECTS["demo"] / "project.yaml").read_text("utf-8")
    stated = "{name: Harrow Road, crosses: Quillfern Lane, toward: right, distance: 260 ft}"
    assert stated in text
    with pytest.raises(ProblemsError) as caught:
        _load(tmp_path, text.replace(stated, line))
    assert message in str(caught.value)


def _load(folder, text):
    import shutil

    shutil.copytree(PROJECTS["demo"], folder / "demo")
    (folder / "demo" / "project.yaml").write_text(text, "utf-8")
    return load_project(folder / "demo")
