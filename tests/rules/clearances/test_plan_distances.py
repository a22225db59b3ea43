"""Distances and footprints on the plans against the geometry library Shapely, and against figures measured by hand."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiPoint, Polygon
from shapely.geometry import Point as ShapelyPoint

from permitgen.rules.quantities.plan_distances import foot_on, footprint, measured, nearest_to_line, space_before
from permitgen.system.equipment.equipment import Equipment
from permitgen.system.site.geometry import area, contains, distance_between, distance_to_segment
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

COORDINATES = st.integers(-20, 20)
POINTS = st.tuples(COORDINATES, COORDINATES)
TRIANGLES = st.tuples(POINTS, POINTS, POINTS).filter(lambda corners: Polygon(corners).area > 0)
DOWN_THE_3_4_5 = (0.6, 0.8)


@given(POINTS, POINTS, POINTS)
def test_the_foot_of_a_distance_is_where_shapely_puts_it(point, start, end):
    assume(start != end)
    line = LineString([start, end])
    nearest = line.interpolate(line.project(ShapelyPoint(point)))
    assert foot_on(point, start, end) == pytest.approx((nearest.x, nearest.y), abs=1e-9)
    assert distance_to_segment(point, start, end) == pytest.approx(line.distance(ShapelyPoint(point)), abs=1e-9)


def test_the_foot_on_a_line_of_no_length_is_its_point():
    assert foot_on((3, 4), (1, 1), (1, 1)) == (1, 1)


@given(TRIANGLES, POINTS, POINTS)
def test_the_corner_nearest_to_a_line(outline, start, end):
    assume(start != end)
    corner, foot = nearest_to_line(outline, start, end)
    line = LineString([start, end])
    assert corner in outline
    assert ShapelyPoint(corner).distance(line) == pytest.approx(MultiPoint(outline).distance(line), abs=1e-6)
    assert ShapelyPoint(corner).distance(ShapelyPoint(foot)) == pytest.approx(ShapelyPoint(corner).distance(line), abs=1e-9)


@given(TRIANGLES, TRIANGLES)
def test_area_distance_and_inside_as_shapely_has_them(first, second):
    one, other = Polygon(first), Polygon(second)
    assert area(first) == pytest.approx(one.area)
    assert distance_between(first, second) == pytest.approx(one.distance(other), abs=1e-9)
    for corner in second:
        assume(not one.boundary.contains(ShapelyPoint(corner)))
        assert contains(first, corner) == one.contains(ShapelyPoint(corner))


def test_two_bars_that_cross_have_no_distance_though_no_corner_lies_in_the_other():
    lying, standing = ((0, 4), (10, 4), (10, 6), (0, 6)), ((4, 0), (6, 0), (6, 10), (4, 10))
    assert distance_between(lying, standing) == 0


def test_a_distance_on_the_plan_is_the_long_side_of_the_3_4_5_triangle():
    found = measured((1, 2), (4, 6), "distance of the disconnect")
    assert (found.number, found.unit, found.title) == (5, "ft", "distance of the disconnect")


def flat(points):
    return [number for point in points for number in point]


def cabinet(width_in=48, depth_in=24):
    facts = {"width": width_in, "depth": depth_in}
    stated = tuple((name, Value(number, "in", Assumed("a test"))) for name, number in facts.items() if number is not None)
    return Equipment(tag="ESS1", name="battery", facts=stated)


def test_equipment_at_a_wall_stands_before_its_point():
    """4 ft wide and 2 ft deep, facing north from a wall along y = 1: from the wall 2 ft out, 2 ft to each side of x = 10."""
    found = footprint(cabinet(), (10, 1), (0, 1), [((0, 1), (30, 1))])
    assert flat(found) == pytest.approx([12, 1, 12, 3, 8, 3, 8, 1])


@pytest.mark.parametrize(("away", "back"), [(0.25, 0.25), (0.26, -0.74)])
def test_a_quarter_of_a_foot_from_the_wall_is_against_it(away, back):
    """Up to 0.25 ft the place is the middle of the back; beyond, the middle of the equipment, whose back is 1 ft behind."""
    found = footprint(cabinet(), (10, away), (0, 1), [((0, 0), (30, 0))])
    assert min(y for _, y in found) == pytest.approx(back)


def test_equipment_away_from_walls_stands_about_its_point():
    """Turned along the 3-4-5 triangle: 1 ft forward is (0.6, 0.8), 2 ft aside (1.6, -1.2)."""
    found = footprint(cabinet(), (10, 20), DOWN_THE_3_4_5, [])
    middle_of_front, aside = (10.6, 20.8), (1.6, -1.2)
    assert Polygon(found).area == pytest.approx(8)
    assert Polygon(found).centroid.coords[0] == pytest.approx((10, 20))
    assert found[1] == pytest.approx((middle_of_front[0] + aside[0], middle_of_front[1] + aside[1]))
    assert found[2] == pytest.approx((middle_of_front[0] - aside[0], middle_of_front[1] - aside[1]))


@pytest.mark.parametrize("missing", [{"width_in": None}, {"depth_in": None}])
def test_equipment_without_its_size_has_no_footprint(missing):
    assert footprint(cabinet(**missing), (10, 1), (0, 1), []) is None


def test_the_space_before_equipment_begins_at_its_front():
    """3 ft deep and 5 ft wide before a front from (8, 3) to (12, 3), facing north: x from 7.5 to 12.5, y from 3 to 6."""
    found = space_before(((12, 1), (12, 3), (8, 3), (8, 1)), (0, 1), 5, 3)
    assert flat(sorted(found)) == pytest.approx([7.5, 3, 7.5, 6, 12.5, 3, 12.5, 6])
    assert Polygon(found).area == pytest.approx(15)


def test_the_space_before_turned_equipment():
    """Front about (10.6, 20.8), 5 ft wide: half is 2.5 × (0.8, -0.6) = (2, -1.5) aside; 3 ft deep is (1.8, 2.4) forward."""
    found = space_before(footprint(cabinet(), (10, 20), DOWN_THE_3_4_5, []), DOWN_THE_3_4_5, 5, 3)
    assert flat(sorted(found)) == pytest.approx([8.6, 22.3, 10.4, 24.7, 12.6, 19.3, 14.4, 21.7])
    assert Polygon(found).area == pytest.approx(15)
