"""Plane geometry against figures whose areas and distances are known from school, and against random squares turned about."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from permitgen.system.site.geometry import along, area, contains, distance_between, distance_to_segment

L_SHAPE = ((0, 0), (10, 0), (10, 4), (4, 4), (4, 10), (0, 10))
TRIANGLE = ((0, 0), (3, 0), (0, 4))


def square(side, x, y, degrees=0.0):
    turn = math.radians(degrees)
    corners = ((0, 0), (side, 0), (side, side), (0, side))
    return tuple((x + a * math.cos(turn) - b * math.sin(turn), y + a * math.sin(turn) + b * math.cos(turn)) for a, b in corners)


def test_areas_known_from_school():
    assert area(TRIANGLE) == 6
    assert area(L_SHAPE) == 64
    assert area(tuple(reversed(L_SHAPE))) == 64


@given(st.floats(1, 100), st.floats(-500, 500), st.floats(-500, 500), st.floats(0, 360))
def test_area_does_not_depend_on_place_or_direction(side, x, y, degrees):
    assert area(square(side, x, y, degrees)) == pytest.approx(side**2, rel=1e-6)


def test_distance_to_a_segment():
    assert distance_to_segment((0, 5), (-3, 0), (3, 0)) == 5
    assert distance_to_segment((6, 4), (-3, 0), (3, 0)) == 5
    assert distance_to_segment((1, 1), (1, 1), (1, 1)) == 0


def test_inside_and_outside_of_a_concave_figure():
    assert contains(L_SHAPE, (2, 8))
    assert not contains(L_SHAPE, (8, 8))


@pytest.mark.parametrize(
    ("other", "distance"),
    [
        (square(5, 10, 0), 0),  # an edge in common
        (square(5, 2, 2), 0),  # overlapping
        (square(1, 1, 1), 0),  # one inside the other
        (square(5, 13, 0), 3),
        (square(2, 7, 8), 3),  # in the notch: nearest to the wall x = 4
        (square(2, 13, 8), 5),  # 3 to the side and 4 up from the corner (10, 4)
    ],
)
def test_distances_between_buildings(other, distance):
    assert distance_between(L_SHAPE, other) == pytest.approx(distance)
    assert distance_between(other, L_SHAPE) == pytest.approx(distance)


def test_projection_on_a_direction():
    low, high = along(square(10, 0, 0, 45), (0.0, 1.0))
    assert (low, high) == pytest.approx((0, 10 * math.sqrt(2)))
