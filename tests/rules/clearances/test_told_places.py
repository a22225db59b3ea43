"""Places told in words lie where a tape and a compass put them; every expected number is worked by hand beside it.

The house of these tests: 52 ft wide and 30 ft deep, 12 ft from the left and 40 ft from the front lot line, so x 12 to 64, y 40 to 70;
the garage, 22 by 24 ft, at its right, 4 ft back: x 64 to 86, y 44 to 68. The front door looks to 203 degrees.
"""

import math
from pathlib import Path

import pytest

from permitgen.project.load import build_project
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import read_yaml_file
from permitgen.system.site.roof_shapes import Rectangle, gable, hip
from permitgen.views.languages import speaks_of_sides, translated_place

SMALL = Path(__file__).resolve().parents[2] / "cli" / "small_house.yaml"
HOUSE = {"size": "52 ft x 30 ft", "setback": {"left": "12 ft", "front": "40 ft"}}
GARAGE = {"size": "22 ft x 24 ft", "beside": "house right", "front": "4 ft back"}
PLAN = {"front_faces": "203°", "lot": "110 ft x 120 ft", "buildings": {"house": HOUSE, "garage": GARAGE}}
READ = read_yaml_file(SMALL)


def built(plan=None, place=None, **site):
    data = READ.data | {"site": READ.data["site"] | {"plan": PLAN | (plan or {})} | site}
    if place is not None:
        data["equipment"] = data["equipment"] | {"MSP": data["equipment"]["MSP"] | {"place": place}}
    return build_project(type(READ)(READ.file, READ.text, data, READ.positions), SMALL.parent).system


def placed(place, plan=None, **site):
    found = built(plan, place, **site).equipment["MSP"].place
    return found, None if found.x_ft is None else (found.x_ft.number, found.y_ft.number)


@pytest.mark.parametrize(
    ("told", "corner"),
    [
        # left and front are those of the front left corner; the garage is 22 ft wide and 24 ft deep.
        ({"beside": "house right", "front": "flush"}, (64, 40)),
        ({"beside": "house right", "back": "flush"}, (64, 70 - 24)),
        ({"beside": "house right", "front": "4 ft back", "detached": "10 ft"}, (64 + 10, 44)),
        ({"beside": "house left", "front": "3 ft forward", "detached": "2 ft"}, (12 - 2 - 22, 37)),
        ({"behind": "house", "left": "flush"}, (12, 70)),
        ({"behind": "house", "right": "6 ft left", "detached": "20 ft"}, (64 - 6 - 22, 90)),
        ({"in_front_of": "house", "left": "5 ft right"}, (17, 40 - 24)),
        ({"setback": {"right": "5 ft", "back": "8 ft"}}, (110 - 5 - 22, 120 - 8 - 24)),
        ({"front_left": ["70", "80"]}, (70, 80)),
    ],
)
def test_a_building_stands_where_it_is_said_to(told, corner):
    system = built({"buildings": {"house": HOUSE, "garage": {"size": "22 ft x 24 ft"} | told}})
    (x, y) = corner
    drawn = {building.name: building.outline for building in system.site.plan.buildings}
    assert drawn["garage"] == ((x, y), (x + 22, y), (x + 22, y + 24), (x, y + 24))
    assert drawn["house"] == ((12, 40), (64, 40), (64, 70), (12, 70))


@pytest.mark.parametrize(
    ("told", "point", "bearing"),
    [
        # The right of a house that looks to 203° lies at 203 - 90; what hangs inside looks the other way.
        ({"wall": "garage right", "from": "front corner", "distance": "8 ft"}, (86, 52), 113),
        ({"wall": "garage right", "from": "back corner", "distance": "8 ft"}, (86, 60), 113),
        ({"wall": "garage right inside", "from": "back corner", "distance": "2 ft 6 in"}, (86, 65.5), 293),
        ({"wall": "garage, left wall, inside", "from": "front", "distance": "30 in"}, (64, 46.5), 113),
        ({"wall": "house front", "from": "right corner", "distance": "10 ft"}, (54, 40), 203),
        ({"wall": "house back", "from": "left corner", "distance": "10 ft"}, (22, 70), 23),
        ({"wall": "house left", "from": "back corner", "distance": "10 ft"}, (12, 60), 293),
        # West-southwest is 247.5, no wall; south-southwest, 202.5, is the front.
        ({"wall": "house south-southwest", "from": "left corner", "distance": "1 ft"}, (13, 40), 203),
    ],
)
def test_equipment_hangs_where_it_is_said_to(told, point, bearing):
    place, at = placed(told)
    assert at == pytest.approx(point)
    assert place.faces.bearing_deg == pytest.approx(bearing)
    assert place.outdoors is ("inside" not in told["wall"])
    assert place.building == told["wall"].split()[0].strip(",")


@pytest.mark.parametrize(
    ("told", "point"),
    [
        ({"away_from": "garage right", "distance": "6 ft", "from": "front corner", "along": "10 ft"}, (92, 54)),
        ({"away_from": "garage right", "distance": "6 ft", "past": "back corner", "along": "10 ft"}, (92, 78)),
        ({"away_from": "garage back inside", "distance": "6 ft", "from": "right corner", "along": "3 ft"}, (83, 62)),
        ({"away_from": "lot right", "distance": "6 ft", "from": "front corner", "along": "50 ft"}, (104, 50)),
    ],
)
def test_things_on_the_ground_stand_where_they_are_said_to(told, point):
    place, at = placed({"ground": told})
    assert at == pytest.approx(point)
    assert place.outdoors is ("inside" not in told["away_from"])
    assert place.faces is None, "what stands on the ground may look anywhere"


def test_the_description_is_put_together_where_none_is_stated():
    told = {"wall": "garage right", "from": "front corner", "distance": "8 ft"}
    assert placed(told)[0].description == "garage, right wall outside, 8 ft from the front corner"
    assert placed(told | {"wall": "garage right inside"})[0].description == "garage, right wall inside, 8 ft from the front corner"
    assert placed({"wall": "garage right"})[0].description == "garage, right wall outside"
    assert placed(told | {"description": "by the walk"})[0].description == "by the walk"
    ground = {"away_from": "garage right", "distance": "6 ft", "past": "back corner", "along": "8 ft"}
    assert placed({"ground": ground})[0].description == "garage, 6 ft off the right wall, 8 ft past the back corner"
    spanish = translated_place("garage, right wall outside, 2 ft 6 in from the front corner", "es")
    assert spanish == "garaje, pared derecha, por fuera, a 2 pies 6 pulgadas de la esquina delantera"
    assert speaks_of_sides("garage, Right Wall, inside")
    assert not speaks_of_sides("garage, east wall, right of the meter, by the front door")


def test_a_distance_that_nobody_knows_leaves_the_point_open():
    place, at = placed({"wall": "garage right", "from": "front corner", "distance": "unknown"})
    assert at is None
    assert (place.building, place.outdoors, place.space) == ("garage", True, "outside wall")


def test_a_room_inside_is_told_by_the_use_of_a_garage_only():
    inside = {"wall": "garage right inside", "from": "front corner", "distance": "8 ft"}
    assert placed(inside)[0].space == ""
    assert placed(inside, buildings={"garage": {"use": "garage"}})[0].space == "garage"
    assert placed(inside | {"space": "closet"}, buildings={"garage": {"use": "garage"}})[0].space == "closet"


@pytest.mark.parametrize("space", ["garage", "Utility closet", "basement"])
def test_a_room_outside_its_wall_is_refused(space):
    """Outside the wall of a garage nobody is in it: one of the two was meant, and 230.70, 230.85 and 706.15 turn on which."""
    told = {"wall": "garage right", "from": "front corner", "distance": "8 ft", "space": space}
    with pytest.raises(
        ProblemsError, match=r"is outside, and space: .* is a room; expected wall: garage right inside, or space: outside wall"
    ):
        placed(told)
    assert placed(told | {"wall": "garage right inside"})[0].space == space


@pytest.mark.parametrize("space", ["outside wall", "garage outside wall", "carport"])
def test_what_is_outside_a_wall_may_be_called_so(space):
    told = {"wall": "garage right", "from": "front corner", "distance": "8 ft", "space": space}
    assert placed(told)[0].outdoors is True


def test_what_is_stated_and_agrees_within_a_tape_is_no_contradiction():
    told = {"wall": "garage right", "from": "front corner", "distance": "8 ft", "building": "garage", "outdoors": "yes"}
    assert placed(told | {"map": ["86", "52.4"], "faces": "120°"})[1] == pytest.approx((86, 52))
    with pytest.raises(ProblemsError, match="contradict"):
        placed(told | {"map": ["86", "52.6"]})
    with pytest.raises(ProblemsError, match="contradict"):
        placed(told | {"faces": "136°"})


def test_a_gable_roof_reaches_over_its_walls():
    """30 ft deep, 1 ft of eaves: each plane is 16 ft deep in plan; 6 in of rakes at both ends."""
    front, back = gable(Rectangle(12, 40, 64, 70), ridge_across=True, eave_ft=1, rake_ft=0.5)
    assert front.outline == ((11.5, 39), (64.5, 39), (64.5, 55), (11.5, 55))
    assert back.outline == ((64.5, 71), (11.5, 71), (11.5, 55), (64.5, 55))
    assert front.eave == ((11.5, 39), (64.5, 39))
    right, left = gable(Rectangle(0, 0, 20, 10), ridge_across=False, eave_ft=0, rake_ft=0)
    assert (right.side, left.side) == ("right", "left")
    assert set(right.outline) == {(20, 0), (20, 10), (10, 10), (10, 0)}


@pytest.mark.parametrize(("width", "depth"), [(52, 30), (30, 52), (30, 30)])
def test_a_hip_roof_covers_the_house_with_planes_of_one_pitch(width, depth):
    """Equal pitches meet at 45 degrees: the ridge is as long as the length less the width, and every plane rises as far inward."""
    planes = hip(Rectangle(0, 0, width, depth), eave_ft=0)
    half = min(width, depth) / 2
    for plane in planes:
        (ax, ay), (bx, by) = plane.eave
        for x, y in plane.outline:
            inward = abs((bx - ax) * (ay - y) - (ax - x) * (by - ay)) / math.dist(*plane.eave)
            assert inward == pytest.approx(0) or inward == pytest.approx(half)
    ridge = {point for plane in planes for point in plane.outline if 0 < point[0] < width and 0 < point[1] < depth}
    assert len(ridge) == (1 if width == depth else 2)
    if len(ridge) == 2:
        assert math.dist(*ridge) == pytest.approx(abs(width - depth))


def test_roof_planes_fall_to_their_eaves():
    roof = {"ridge": "along the length", "pitch": "5/12", "shape": "hip"}
    system = built({"buildings": {"house": HOUSE | {"roof": roof}, "garage": GARAGE}})
    falls = {plane.name: plane.down for plane in system.site.plan.roof_planes}
    assert falls == {"house front": (0, -1), "house right": (1, 0), "house back": (0, 1), "house left": (-1, 0)}
    assert all(plane.slope == pytest.approx(5 / 12) for plane in system.site.plan.roof_planes)


def test_a_roof_without_a_shape_is_assumed_to_be_a_gable_and_says_so():
    system = built({"buildings": {"house": HOUSE | {"roof": {"ridge": "along the length", "pitch": "5/12"}}, "garage": GARAGE}})
    assert [plane.name for plane in system.site.plan.roof_planes] == ["house front", "house back"]
    assert ("Shape of the roof of house", "gable") in [(one.title, one.taken) for one in system.assumptions]
    assert not [one for one in system.assumptions if one.title.startswith("North")], "the front door's compass reading tells north"
