"""The site is drawn once: the map of the placard is the site plan simplified; openings, posts and things on roofs are true to size."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.shapes import Group, Line, Text
from permitgen.documents.canvas.shapes import Path as Outline
from permitgen.documents.plan_drawing.labels import LabelRoom
from permitgen.documents.plan_drawing.scales import BUILDING_SCALES, Extent, Lay, Margins, filling_lay, turned, upright_turn
from permitgen.documents.plan_drawing.site_drawing import (
    FULL,
    LARGE,
    bollard_shapes,
    obstruction_shapes,
    point_shapes,
    simplified,
    site_shapes,
)
from permitgen.documents.site_map import map_shapes
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project
from permitgen.system.site.plan import Bollard
from permitgen.views.emergency import emergency_of
from permitgen.views.plans import plans_of
from permitgen.views.site_geometry import NamedOutline, NamedPoint, site_geometry_of

ROOT = Path(__file__).parents[2]
QUARTER_INCH = BUILDING_SCALES[0]
ROOM = Box(-500.0, -500.0, 500.0, 500.0)


@pytest.fixture(scope="module")
def evaluation():
    system = load_project(ROOT / "demo_project").system
    return evaluate(system, CodeBook(system.jurisdiction.edition), with_suggestions=False)


def outlines(shapes, pen):
    """Corners of closed outlines drawn with a pen, groups opened."""
    for shape in shapes:
        if isinstance(shape, Group):
            yield from outlines(shape.shapes, pen)
        elif isinstance(shape, Outline) and shape.pen == pen:
            yield [(s.x, s.y) for s in shape.segments if hasattr(s, "x")]


@pytest.mark.parametrize("turn_deg", [0.0, 90.0, 270.0, 33.0])
def test_the_map_shows_the_buildings_of_the_site_plan_in_proportion(evaluation, turn_deg):
    """Similar figures: every distance between corners on the map is the same multiple of that on the plan."""
    geometry = site_geometry_of(evaluation.system)
    lay = Lay(QUARTER_INCH, 0.0, 0.0)
    plan = [corner for outline in outlines(site_shapes(geometry, lay, ROOM, FULL, LabelRoom(ROOM)), FULL.wall) for corner in outline]
    drawn = map_shapes(emergency_of(evaluation).map, 120.0, 100.0, heading_up_deg=turn_deg)
    mapped = [corner for outline in outlines(drawn.shapes, simplified(2.6).wall) for corner in outline]
    assert len(plan) == len(mapped) > 7
    ratios = [
        math.dist(mapped[i], mapped[j]) / math.dist(plan[i], plan[j])
        for i in range(len(plan))
        for j in range(i)
        if math.dist(plan[i], plan[j]) > 1e-6
    ]
    assert max(ratios) == pytest.approx(min(ratios), rel=1e-9)


def test_the_map_leaves_out_what_an_emergency_does_not_need(evaluation):
    """Windows, vents and posts; the street's name where it would tell the address. Doors and the gas meter stay."""
    full = site_geometry_of(evaluation.system)
    plain = full.simplified(names_streets=False)
    assert {"window", "door"} <= {point.kind for point in full.points}
    assert {point.kind for point in plain.points} == {"door", "vehicle door", "gas meter"}
    assert full.obstructions
    assert full.bollards
    assert not plain.obstructions
    assert not plain.bollards
    assert {ground.label for ground in plain.grounds if ground.kind == "street"} == {""}
    assert full.simplified(names_streets=True).grounds == full.grounds


@pytest.mark.parametrize("heading", [0.0, 90.0, 180.0, 270.0, 300.0])
def test_no_text_of_the_map_meets_another(evaluation, heading):
    drawn = map_shapes(emergency_of(evaluation).map, 125.0, 108.0, heading_up_deg=heading)
    assert text_overlaps(drawn.shapes) == ()
    box = Box(0, 0, 125.0, 108.0)
    assert all(box.contains(b, 0.4) for s, b in placed_boxes(drawn.shapes) if isinstance(s, Text))


def test_a_door_of_36_in_is_a_gap_of_three_quarters_of_an_inch():
    """36 in at 1/4 in = 1 ft: 0.75 in, 19.05 mm from jamb to jamb."""
    door = NamedPoint("door", (10.0, 0.0), "", width_ft=3.0, along=(1.0, 0.0))
    jambs = [s for s in point_shapes([door], Lay(QUARTER_INCH, 0.0, 0.0), LARGE, LabelRoom(ROOM)) if isinstance(s, Line) and s.x1 == s.x2]
    assert len(jambs) == 2
    assert abs(jambs[0].x1 - jambs[1].x1) == pytest.approx(19.05)


def test_an_opening_of_unknown_width_is_a_mark_not_a_gap():
    door = NamedPoint("door", (10.0, 0.0), "", along=(1.0, 0.0))
    shapes = point_shapes([door], Lay(QUARTER_INCH, 0.0, 0.0), FULL, LabelRoom(ROOM))
    assert not [shape for shape in shapes if isinstance(shape, Line)]


def test_things_on_roofs_and_posts_are_true_to_size():
    """A skylight of 2 by 4 ft at 1/4 in = 1 ft is 12.7 by 25.4 mm; a post of 12 in has 6.35 mm."""
    lay = Lay(QUARTER_INCH, 0.0, 0.0)
    skylight = NamedOutline("skylight", "skylight", ((0.0, 0.0), (2.0, 0.0), (2.0, 4.0), (0.0, 4.0)))
    boxes = [box for _, box in placed_boxes(obstruction_shapes([skylight], lay, LabelRoom(ROOM)))]
    assert max(box.width for box in boxes) == pytest.approx(12.7, abs=0.3)
    assert max(box.height for box in boxes) == pytest.approx(25.4, abs=0.3)
    posts = [box for _, box in placed_boxes(bollard_shapes([Bollard(point=(0.0, 0.0), diameter_ft=1.0)], lay, LabelRoom(ROOM)))]
    assert posts[0].width == pytest.approx(6.35, abs=0.05)


def test_the_demo_draws_its_obstructions_bollards_and_openings(evaluation):
    plans = plans_of(evaluation)
    assert [row[0] for row in plans.roof.obstruction_rows] == ["chimney", "skylight", "vent", "vent"]
    # Chimney from (20, 57) to (22.5, 60); the array reaches to y = 53: 4 ft. The pathway begins at x = 61: skylight to 46: 15 ft.
    assert plans.roof.obstruction_rows[0][2] == "4'-0\""
    assert plans.roof.obstruction_rows[1][3] == "15'-0\""
    words = [dimension.words for dimension in plans.storage.dimensions]
    # Bollards at y = 56.4 and 59.7: 3.3 ft apart.
    assert "3'-3 1/2\"" in words
    assert any("3 bollards" in note for note in plans.storage.notes)


def test_a_strip_that_a_raceway_crosses_is_not_hatched(evaluation):
    """R5 runs from (61, 51) east over the gable: of the south plane the strip at the west gable alone is hatched."""
    pathways = [zone.outline for zone in plans_of(evaluation).roof.zones if zone.kind == "pathway"]
    south = [outline for outline in pathways if max(y for _, y in outline) <= 55.0 + 1e-6]
    assert len(south) == 1
    assert max(x for x, _ in south[0]) == pytest.approx(15.4)


def test_right_turns_are_exact():
    assert turned((3.0, 4.0), 90.0) == (-4.0, 3.0)
    assert turned((3.0, 4.0), 180.0) == (-3.0, -4.0)
    assert (upright_turn(0.0), upright_turn(180.0), upright_turn(60.0)) == (0.0, 180.0, 0.0)


def test_north_on_a_turned_plan():
    """Up is west (270°): north, 90° to the right of west, lies to the right."""
    lay = Lay(QUARTER_INCH, 0.0, 0.0, turn_deg=270.0)
    assert lay.north_clockwise_deg(0.0) % 360 == 90.0
    assert lay.direction((0.0, 1.0)) == pytest.approx((1.0, 0.0))


def test_a_lay_that_fills_a_room_stays_in_it():
    room = Box(10.0, 20.0, 110.0, 80.0)
    lay = filling_lay(Extent(0.0, 0.0, 40.0, 60.0), room, Margins(5.0, 5.0, 5.0, 5.0))
    box = lay.box(Extent(0.0, 0.0, 40.0, 60.0))
    assert room.grown(-5.0).contains(box)
    assert box.height == pytest.approx(50.0)


def test_the_plan_without_small_facts_says_so(evaluation):
    """Without obstructions and bollards the sheets say that they are not in the project file."""
    plan = replace(evaluation.system.site.plan, obstructions=(), bollards=())
    system = replace(evaluation.system, site=replace(evaluation.system.site, plan=plan))
    plans = plans_of(evaluate(system, CodeBook(system.jurisdiction.edition), with_suggestions=False))
    assert any("Vents, chimneys and skylights are not in the project file" in note for note in plans.roof.notes)
    assert any("their locations are not in the project file" in note for note in plans.storage.notes)
