"""Roof planes of other shapes than a rectangle: hips, turned roofs, a page that is not north up. Numbers measured on the drawing."""

from __future__ import annotations

import copy
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.given import Given
from permitgen.rules.quantities.siting_roof import distance_to_ridge_ft, free_spans_ft, ridge_of, roof_planes

BASES = Path(__file__).resolve().parents[1] / "bases"


def widths_ft(found):
    """Widths of the strips from eave to ridge that no array covers."""
    return [high - low for low, high in free_spans_ft(found)]


def plane(outline, arrays, faces="south", north=0):
    read = read_yaml_file(BASES / "roof_array.yaml")
    data = copy.deepcopy(read.data)
    text = lambda shape: [[str(x), str(y)] for x, y in shape]  # noqa: E731 - one use, one line
    data["site"]["plan"]["north"] = str(north)
    data["site"]["plan"]["roof_planes"] = {
        "one": {"building": "house", "outline": text(outline), "pitch": "6/12", "faces": faces, "arrays": [text(a) for a in arrays]}
    }
    data["equipment"]["PV1"]["roof_planes"] = ["one"]
    system = build_project(ReadFile(read.file, read.text, data, read.positions), BASES).system
    return roof_planes(Given(system, CodeBook(2023)))["one"]


HIP = [(0, 0), (40, 0), (30, 10), (10, 10)]
ARRAY = [(12, 2), (24, 2), (24, 8), (12, 8)]


def test_the_ridge_of_a_hip_roof_is_its_short_upper_edge():
    found = plane(HIP, [ARRAY])
    assert set(ridge_of(found)) == {(30, 10), (10, 10)}
    assert distance_to_ridge_ft(found) == pytest.approx(2)


def test_strips_of_a_hip_roof_reach_from_eave_to_ridge_only_between_the_hips():
    """Between x = 10 and x = 30 a strip reaches the ridge; the array covers 12 to 24, so 2 ft and 6 ft are free."""
    assert sorted(widths_ft(plane(HIP, [ARRAY]))) == pytest.approx([2, 6])


def test_a_pyramid_has_no_ridge_and_no_strip():
    found = plane([(0, 0), (40, 0), (20, 20)], [[(18, 2), (22, 2), (22, 6), (18, 6)]])
    assert ridge_of(found) is None
    assert widths_ft(found) == []


def test_a_plane_that_faces_west():
    """The ridge is the east edge x = 15; strips run east to west and are measured along y."""
    found = plane([(0, 0), (15, 0), (15, 60), (0, 60)], [[(2, 3), (13, 3), (13, 50), (2, 50)]], faces="west")
    assert distance_to_ridge_ft(found) == pytest.approx(2)
    assert sorted(widths_ft(found)) == pytest.approx([3, 10])


def test_a_page_turned_by_a_quarter():
    """With east at the top of the page (north: 90), a plane that faces west falls toward the bottom of the page."""
    found = plane([(0, 0), (60, 0), (60, 15), (0, 15)], [[(3, 1), (50, 1), (50, 12), (3, 12)]], faces="west", north=90)
    assert distance_to_ridge_ft(found) == pytest.approx(3)
    assert sorted(widths_ft(found)) == pytest.approx([3, 10])


def test_overlapping_arrays_leave_no_strip_between_them():
    arrays = [[(13, 2), (20, 2), (20, 8), (13, 8)], [(18, 2), (26, 2), (26, 8), (18, 8)]]
    assert sorted(widths_ft(plane(HIP, arrays))) == pytest.approx([3, 4])
