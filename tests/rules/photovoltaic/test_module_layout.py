"""Modules on a roof plane that rises 9 in 12, where 5 ft along the roof cover 4 ft in plan: counted and measured by hand."""

from __future__ import annotations

import pytest
from shapely.geometry import Polygon
from shapely.ops import unary_union

from permitgen.rules.quantities.module_layout import module_outlines, rectangle_on, setback_in_plan_ft, slope_stretch
from permitgen.system.site.plan import RoofPlane

# 60 in × 36 in: upright 3 ft along the eave and 4 ft in plan up the slope; lying 5 ft and 2.4 ft.
MODULE_IN = (60, 36)


def rectangle(left, bottom, right, top):
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def plane(*arrays, down=(0.0, -1.0)):
    return RoofPlane("south", "house", rectangle(0, 0, 40, 20), 0.75, down, arrays)


def bounds(outlines):
    return unary_union([Polygon(outline) for outline in outlines]).bounds


def test_a_length_up_the_roof_is_five_fourths_of_its_plan():
    assert slope_stretch(0.75) == pytest.approx(1.25)
    assert slope_stretch(0) == 1


def test_a_setback_of_45_inches_shows_as_3_feet():
    assert setback_in_plan_ft(45, 0.75) == pytest.approx(3)


def test_rows_and_columns_fill_an_outline_from_its_lower_left_about_its_middle():
    """An outline 9.6 ft by 8.4 ft holds three columns of 3 ft and two rows of 4 ft; 0.3 ft and 0.2 ft stay free at each side."""
    found = module_outlines(plane(rectangle(10, 5, 19.6, 13.4)), 6, *MODULE_IN)
    assert len(found) == 6
    assert all(Polygon(outline).area == pytest.approx(12) for outline in found)
    assert bounds(found) == pytest.approx((10.3, 5.2, 19.3, 13.2))
    assert unary_union([Polygon(outline) for outline in found]).area == pytest.approx(6 * 12)


def test_the_lower_row_is_filled_first():
    """Four of six places: three modules below, one above."""
    found = module_outlines(plane(rectangle(10, 5, 19, 13)), 4, *MODULE_IN)
    assert sorted(round(min(y for _, y in outline), 9) for outline in found) == [5, 5, 5, 9]


def test_lying_modules_where_they_waste_less():
    """Three lying modules fill 5 ft by 7.2 ft; upright ones would not be three."""
    found = module_outlines(plane(rectangle(0, 0, 5, 7.2)), 3, *MODULE_IN)
    assert len(found) == 3
    assert bounds(found) == pytest.approx((0, 0, 5, 7.2))
    assert {round(max(x for x, _ in outline) - min(x for x, _ in outline), 9) for outline in found} == {5}


def test_upright_modules_where_both_ways_fit():
    """15 ft by 12 ft hold 5 × 3 upright and 3 × 5 lying; equal, so upright is kept. For 15 none is to spare."""
    found = module_outlines(plane(rectangle(0, 0, 15, 12)), 15, *MODULE_IN)
    assert len(found) == 15
    assert {round(max(x for x, _ in outline) - min(x for x, _ in outline), 9) for outline in found} == {3}


def test_the_way_that_wastes_less_is_taken_though_it_is_tried_second():
    """10 ft by 5 ft hold 3 × 1 upright and 2 × 2 lying: three modules lie upright exactly, four only lie down."""
    three, four = (module_outlines(plane(rectangle(0, 0, 10, 5)), count, *MODULE_IN) for count in (3, 4))
    assert {round(max(x for x, _ in outline) - min(x for x, _ in outline), 9) for outline in three} == {3}
    assert {round(max(x for x, _ in outline) - min(x for x, _ in outline), 9) for outline in four} == {5}


def test_outlines_that_do_not_hold_the_count_show_no_module():
    assert module_outlines(plane(rectangle(10, 5, 19, 13)), 7, *MODULE_IN) == ()


def test_a_quarter_of_an_inch_does_not_cost_a_module():
    """0.02 ft is about a quarter of an inch: 8.99 ft hold three modules of 3 ft, 8.97 ft hold two."""
    assert len(module_outlines(plane(rectangle(0, 0, 8.99, 4)), 3, *MODULE_IN)) == 3
    assert module_outlines(plane(rectangle(0, 0, 8.97, 4)), 3, *MODULE_IN) == ()


def test_several_arrays_on_a_plane_are_filled_in_turn():
    found = module_outlines(plane(rectangle(0, 0, 6, 4), rectangle(20, 0, 26, 4)), 3, *MODULE_IN)
    assert [round(min(x for x, _ in outline), 9) for outline in found] == [0, 3, 20]


def test_a_plane_that_falls_along_the_3_4_5_triangle():
    """Falling toward (0.6, -0.8): along the eave is (0.8, 0.6), up is (-0.6, 0.8). 10 along and 5 up is (5, 10)."""
    found = rectangle_on(plane(down=(0.6, -0.8)), 10, 5, 2, 1)
    assert [number for corner in found for number in corner] == pytest.approx([5, 10, 6.6, 11.2, 6, 12, 4.4, 10.8])
