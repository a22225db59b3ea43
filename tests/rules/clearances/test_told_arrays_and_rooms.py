"""Modules and rooms that are told in words lie where a tape puts them; every expected number is worked by hand beside it.

The house: 52 ft wide, 30 ft deep, 12 ft from the left and 40 ft from the front lot line, so x 12 to 64, y 40 to 70; its gable roof has
the ridge from left to right at y 55 and a pitch of 5/12, so that 13 ft along the roof are 12 ft in plan. A module is 72 in by 42 in.
"""

from pathlib import Path

import pytest

from permitgen.project.load import build_project
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import read_yaml_file

SMALL = Path(__file__).resolve().parents[2] / "cli" / "small_house.yaml"
READ = read_yaml_file(SMALL)
MODULE = {"kind": "module", "length": "72 in", "width": "42 in"}
ROOF = {"shape": "gable", "ridge": "along the length", "pitch": "5/12"}
HOUSE = {"size": "52 ft x 30 ft", "setback": {"left": "12 ft", "front": "40 ft"}, "roof": ROOF}
PLAN = {"front_faces": "203°", "lot": "110 ft x 120 ft", "buildings": {"house": HOUSE}}
LAYOUT = {"rows": "2", "columns": "4", "modules": "portrait", "gap": "0 in", "from": "left rake", "distance": "3 ft", "above_eave": "13 in"}


def built(plan=None, equipment=None):
    catalog = READ.data["catalog"] | {"big": MODULE}
    data = READ.data | {"catalog": catalog, "site": READ.data["site"] | {"plan": PLAN | (plan or {})}}
    data["equipment"] = READ.data["equipment"] | (equipment or {})
    return build_project(type(READ)(READ.file, READ.text, data, READ.positions), SMALL.parent).system


def array_of(*planes, modules="8", **more):
    return {"kind": "pv_array", "module": "big", "modules": modules, "roof_planes": list(planes), "status": "to be removed"} | more


def shapes(layouts, plane="house front", roof_planes=None, modules="8", **plan):
    stated = roof_planes or {plane: {"layout": layouts}}
    system = built({"roof_planes": stated} | plan, {"PV9": array_of(plane, modules=modules)})
    return next(each.arrays for each in system.site.plan.roof_planes if each.name == plane)


def box(outline):
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return pytest.approx((min(xs), min(ys), max(xs), max(ys)), abs=1e-6)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        # Upright: 4 x 42 in = 14 ft wide, 2 x 72 in = 12 ft high along the roof, so 144/13 ft in plan; 13 in above the eave, 1 ft in plan.
        ({}, (12 + 3, 40 + 1, 12 + 3 + 14, 40 + 1 + 144 / 13)),
        # Lying: 4 x 72 in = 24 ft wide, 2 x 42 in = 7 ft high, 84/13 ft in plan.
        ({"modules": "landscape"}, (15, 41, 15 + 24, 41 + 84 / 13)),
        # Gaps: three of 2 in side by side, one between the rows of 3 in, else as side by side.
        ({"gap": "2 in", "row_gap": "3 in"}, (15, 41, 15 + 14 + 6 / 12, 41 + (12 + 3 / 12) * 12 / 13)),
        ({"gap": "2 in"}, (15, 41, 15 + 14 + 6 / 12, 41 + (12 + 2 / 12) * 12 / 13)),
        # From the other end, and down from the ridge at y = 55: 26 in of roof are 2 ft in plan.
        ({"from": "right rake"}, (64 - 3 - 14, 41, 64 - 3, 41 + 144 / 13)),
        ({"above_eave": None, "below_ridge": "26 in"}, (15, 55 - 2 - 144 / 13, 29, 55 - 2)),
        # The front looks to 203 degrees, so its left is 293, west-northwest.
        ({"from": "west-northwest rake"}, (15, 41, 29, 41 + 144 / 13)),
    ],
)
def test_rows_and_columns_lie_where_a_tape_puts_them(change, expected):
    layout = {key: value for key, value in (LAYOUT | change).items() if value is not None}
    (found,) = shapes([layout])
    assert box(found) == expected


def test_the_back_of_a_roof_has_its_left_where_the_street_sees_it():
    """From the back eave at y = 70 the rows rise toward the front."""
    (found,) = shapes([LAYOUT], plane="house back")
    assert box(found) == (15, 70 - 1 - 144 / 13, 29, 70 - 1)


def test_two_blocks_on_one_plane_are_two_outlines():
    short = LAYOUT | {"rows": "1", "columns": "2", "from": "right rake"}
    first, second = shapes([LAYOUT, short], modules="10")
    assert box(first) == (15, 41, 29, 41 + 144 / 13)
    assert box(second) == (64 - 3 - 7, 41, 61, 41 + 72 / 13)


def test_a_plane_drawn_by_its_corners_takes_rows_too():
    """A shed roof of a slope of 3/4: 5 ft of roof are 4 ft in plan; it falls to x = 0, and its eave runs from y = 0 to y = 20."""
    plane = {"building": "house", "outline": [["0", "0"], ["12", "0"], ["12", "20"], ["0", "20"]], "pitch": "9/12"}
    plane |= {"eave": [["0", "0"], ["0", "20"]], "layout": [LAYOUT | {"from": "front corner", "above_eave": "15 in", "rows": "1"}]}
    (found,) = shapes([], plane="shed", roof_planes={"shed": plane}, modules="4")
    assert box(found) == (1, 3, 1 + 6 * 4 / 5, 3 + 14)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"above_eave": None}, "above the eave or below the ridge; found neither"),
        ({"below_ridge": "1 ft"}, "found both"),
        ({"distance": "unknown"}, "leave the layout out until there is a distance"),
        ({"from": "front rake"}, "the eave of house front has no front corner; it has a left and a right corner"),
        ({"of": "PV2"}, 'no array has the tag "PV2"'),
        ({"rows": "3"}, "rows and columns hold 12 modules, and PV9 has 8"),
        ({"rows": "0"}, "one of its rows at least"),
    ],
)
def test_what_does_not_tell_where_modules_lie_is_refused(change, message):
    layout = {key: value for key, value in (LAYOUT | change).items() if value is not None}
    with pytest.raises(ProblemsError, match=message):
        shapes([layout])


def test_a_roof_without_pitch_has_no_distances_along_it():
    flat = HOUSE | {"roof": {key: value for key, value in ROOF.items() if key != "pitch"}}
    with pytest.raises(ProblemsError, match="has no pitch"):
        shapes([LAYOUT], buildings={"house": flat})


def with_rooms(rooms, place=None, **house):
    told = {"buildings": {"house": HOUSE | {"rooms": rooms} | house}}
    return built(told, {"MSP": READ.data["equipment"]["MSP"] | ({"place": place} if place else {})})


@pytest.mark.parametrize(
    ("room", "corner"),
    [
        ({"at": "front right corner"}, (64 - 20, 40)),
        ({"at": "left back"}, (12, 70 - 22)),
        ({"at": "right wall", "from": "front corner", "distance": "5 ft"}, (64 - 20, 45)),
        ({"at": "back wall", "from": "right corner", "distance": "6 ft"}, (64 - 6 - 20, 70 - 22)),
    ],
)
def test_a_room_lies_where_it_is_said_to(room, corner):
    (found,) = with_rooms({"garage": {"size": "20 ft x 22 ft"} | room}).site.plan.rooms
    (x, y) = corner
    assert found.outline == ((x, y), (x + 20, y), (x + 20, y + 22), (x, y + 22))
    assert (found.building, found.space) == ("house", "garage")


GARAGE = {"garage": {"size": "20 ft x 22 ft", "at": "front right corner"}}


@pytest.mark.parametrize(
    ("told", "point", "bearing"),
    [
        # The garage lies at x 44 to 64, y 40 to 62; what hangs on its left wall looks right, to 203 - 90.
        ({"wall": "house garage left inside", "from": "front corner", "distance": "8 ft"}, (44, 48), 113),
        ({"wall": "house garage back inside", "from": "right corner", "distance": "4 ft"}, (60, 62), 203),
        # The right wall of the house is that of the garage up to y = 62.
        ({"wall": "house right inside", "from": "front corner", "distance": "8 ft"}, (64, 48), 293),
        ({"ground": {"away_from": "house garage left inside", "distance": "3 ft", "from": "front", "along": "5 ft"}}, (47, 45), None),
    ],
)
def test_what_hangs_in_a_room_stands_in_its_building_and_space(told, point, bearing):
    place = with_rooms(GARAGE, told).equipment["MSP"].place
    assert (place.x_ft.number, place.y_ft.number) == pytest.approx(point)
    assert (place.building, place.space, place.outdoors) == ("house", "garage", False)
    assert (None if place.faces is None else place.faces.bearing_deg) == (None if bearing is None else pytest.approx(bearing))


def test_a_room_drawn_by_its_corners_is_the_same_room():
    drawn = {"garage": {"outline": [["44", "40"], ["64", "40"], ["64", "62"], ["44", "62"]]}}
    assert with_rooms(drawn).site.plan.rooms[0].outline == with_rooms(GARAGE).site.plan.rooms[0].outline
    told = {"wall": "house garage left inside", "from": "front corner", "distance": "8 ft"}
    assert with_rooms(drawn, told).equipment["MSP"].place.x_ft.number == 44


def test_the_rest_of_a_wall_is_no_room():
    told = {"wall": "house right inside", "from": "front corner", "distance": "25 ft"}
    assert with_rooms(GARAGE, told).equipment["MSP"].place.space == ""
    outside = {"wall": "house right", "from": "front corner", "distance": "8 ft"}
    assert with_rooms(GARAGE, outside).equipment["MSP"].place.space == "outside wall"


@pytest.mark.parametrize(
    ("rooms", "place", "message"),
    [
        (GARAGE, {"wall": "house garage left", "from": "front", "distance": "8 ft"}, "told from inside; expected house garage left inside"),
        (
            GARAGE,
            {"wall": "house right inside", "from": "front", "distance": "8 ft", "space": "bedroom"},
            "space: bedroom contradict each other",
        ),
        (
            GARAGE | {"den": {"size": "12 ft x 12 ft", "at": "right wall", "from": "front corner", "distance": "18 ft"}},
            None,
            "into the garage",
        ),
        ({"garage": {"size": "60 ft x 22 ft", "at": "front right corner"}}, None, "more than house, which is 52 ft wide"),
        ({"garage": {"size": "20 ft x 22 ft", "at": "front back corner"}}, None, "is no corner and no wall"),
        ({"garage": {"size": "20 ft x 22 ft", "at": "right wall"}}, None, "along the right wall is not told"),
        ({"garage": {"size": "20 ft x 22 ft"}}, None, "lies at a corner or a wall"),
        ({"left": {"size": "20 ft x 22 ft", "at": "front left corner"}}, None, "call this room otherwise"),
        ({"den": {"size": "9 ft x 9 ft", "at": "right wall", "from": "front", "distance": "22 ft"}}, None, "more than the 30 ft"),
    ],
)
def test_rooms_and_places_that_contradict_themselves_are_refused(rooms, place, message):
    with pytest.raises(ProblemsError, match=message):
        with_rooms(rooms, place)
