"""The same house told in coordinates and as people speak: by size, setback, wall, corner and distance. No verdict, no number moves.

The words are put together here from the coordinates by hand's arithmetic: a distance along a wall is the difference of two coordinates,
and right is where x grows, as one sees the house from the street at the bottom of the page. Neither turning the house by the compass
nor exchanging right and left may move a verdict either.
"""

from __future__ import annotations

import math
import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from permitgen.project.directions import read_direction
from tests.examples import examples
from tests.properties.houses import HOUSES, Data, data_of, differences, findings, has_plan, in_coordinates, north_of

PLANNED = [name for name in HOUSES if has_plan(name)]
few = examples(5, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
of_each_plan = pytest.mark.parametrize("name", PLANNED)
OUT = {"front": (0, -1), "right": (1, 0), "back": (0, 1), "left": (-1, 0)}
ENDS = {"front": ("left", "right"), "right": ("front", "back"), "back": ("left", "right"), "left": ("front", "back")}
SWAPPED = {"right": "left", "left": "right"}
AFT = 1e-6


class Teller:
    """Tells a house that is drawn square to the page in words; ``chance`` chooses among the ways of saying a thing."""

    def __init__(self, data: Data, chance: random.Random) -> None:
        self.data, self.chance = data, chance
        self.plan = data["site"]["plan"]
        self.north = north_of(self.plan)
        self.boxes = {name: box for name, drawn in self.plan["buildings"].items() if (box := box_of(drawn.get("outline", [])))}
        self.told = self.laid_out = 0

    def house(self) -> Data:
        """Return the house with buildings, doors, windows and equipment told in words as far as they are square to the page."""
        plan = {key: part for key, part in self.plan.items() if key not in ("north", "front_faces")}
        plan["front_faces"] = f"{(self.north + 180) % 360:.9f}°"
        plan["buildings"] = {name: self.building(name, drawn) for name, drawn in self.plan["buildings"].items()}
        plan["features"] = [self.feature(feature) for feature in self.plan.get("features", [])]
        plan["roof_planes"] = {name: self.plane(name, plane) for name, plane in self.plan.get("roof_planes", {}).items()}
        equipment = {
            tag: item | {"place": self.place(item["place"])} if "map" in item.get("place", {}) else item
            for tag, item in self.data["equipment"].items()
        }
        return self.data | {"site": self.data["site"] | {"plan": plan}, "equipment": equipment}

    def building(self, name: str, drawn: Data) -> Data:
        if name not in self.boxes:
            return drawn
        x0, y0, x1, y1 = self.boxes[name]
        told = {key: part for key, part in drawn.items() if key != "outline"} | {"size": f"{x1 - x0:.9f} ft x {y1 - y0:.9f} ft"}
        ways: list[Data] = [{"front_left": [f"{x0:.9f}", f"{y0:.9f}"]}]
        lot = box_of(self.plan.get("lot", []))
        if lot:
            across = self.chance.choice([{"left": feet(x0 - lot[0])}, {"right": feet(lot[2] - x1)}])
            ways = [{"setback": across | self.chance.choice([{"front": feet(y0 - lot[1])}, {"back": feet(lot[3] - y1)}])}]
        for other, (u0, v0, u1, v1) in list(self.boxes.items())[: list(self.boxes).index(name)]:
            line = self.chance.choice([{"front": shift(y0 - v0, "back", "forward")}, {"back": shift(y1 - v1, "back", "forward")}])
            level = self.chance.choice([{"left": shift(x0 - u0, "right", "left")}, {"right": shift(x1 - u1, "right", "left")}])
            ways += [{"beside": f"{other} right", "detached": feet(x0 - u1)} | line] if x0 >= u1 else []
            ways += [{"beside": f"{other} left", "detached": feet(u0 - x1)} | line] if x1 <= u0 else []
            ways += [{"behind": other, "detached": feet(y0 - v1)} | level] if y0 >= v1 else []
            ways += [{"in_front_of": other, "detached": feet(v0 - y1)} | level] if y1 <= v0 else []
        self.told += 1
        return told | self.chance.choice(ways)

    def feature(self, feature: Data) -> Data:
        if "at" not in feature:
            return feature
        x, y = map(float, feature["at"])
        for name, side in self.chance.sample([(name, side) for name in self.boxes for side in OUT], len(self.boxes) * len(OUT)):
            if is_on(self.boxes[name], side, x, y):
                self.told += 1
                return {key: part for key, part in feature.items() if key != "at"} | self.on_wall(name, side, x, y)
        return feature

    def place(self, place: Data) -> Data:
        x, y = map(float, place["map"])
        outdoors, building = place.get("outdoors"), place.get("building", next(iter(self.boxes), ""))
        faces = read_direction(place.get("faces", ""))
        rest = {key: part for key, part in place.items() if key not in ("map", "outdoors", "building", "faces")}
        if outdoors is None or building not in self.boxes or "roof" in place.get("space", ""):
            return place
        for side, (dx, dy) in OUT.items():
            inward = outdoors == "no"
            looks = (self.north + {"back": 0, "right": 90, "front": 180, "left": 270}[side] + 180 * inward) % 360
            if is_on(self.boxes[building], side, x, y) and faces is not None and abs(faces.bearing_deg - looks) < AFT:
                covered = any(lies_in(box, x + 0.1 * dx, y + 0.1 * dy) for name, box in self.boxes.items() if name != building)
                if (inward or (place.get("space") == "outside wall" and not covered)) and len(place["map"]) == 2:
                    self.told += 1
                    told = self.on_wall(building, side, x, y)
                    told["wall"] += " inside" * inward
                    return rest | told
        if outdoors == "yes" and place.get("space"):
            self.told += 1
            kept = {key: place[key] for key in ("building", "faces") if key in place}
            return rest | kept | {"ground": self.on_ground(x, y)}
        return place

    def plane(self, name: str, plane: Data) -> Data:
        """Tell one outline on a plane as rows and columns: the gaps are what modules of their size leave of it."""
        tags = [tag for tag, item in self.data["equipment"].items() if name in item.get("roof_planes", [])]
        around, blocks = box_of(plane.get("outline", [])), [box_of(outline) for outline in plane.get("arrays", [])]
        if len(tags) != 1 or len(blocks) != 1 or around is None or blocks[0] is None or "pitch" not in plane:
            return plane
        array = self.data["equipment"][tags[0]]
        module = self.data["catalog"].get(array.get("module", ""), {})
        down = self.falls(plane)
        counts = array.get("branches") or array.get("strings") or {}
        count = int(array.get("modules", 0)) or sum(map(int, counts.values()))
        if down is None or not count or "length" not in module or "width" not in module:
            return plane
        rise, run = map(float, plane["pitch"].split("/"))
        share = run / math.hypot(rise, run)
        x0, y0, x1, y1 = blocks[0]
        wide, high = (x1 - x0, (y1 - y0) / share) if down in ("front", "back") else (y1 - y0, (x1 - x0) / share)
        ways = []
        for laid, across, up in (("portrait", "width", "length"), ("landscape", "length", "width")):
            one, other = inches(module[across]), inches(module[up])
            for rows in (rows for rows in range(1, count + 1) if count % rows == 0):
                columns = count // rows
                gaps = (wide * 12 - columns * one, high * 12 - rows * other)
                if all(gap >= 0 and (number > 1 or gap == 0) for gap, number in zip(gaps, (columns, rows), strict=True)):
                    told = {"rows": f"{rows}", "columns": f"{columns}", "modules": laid}
                    between = [gap / max(number - 1, 1) for gap, number in zip(gaps, (columns, rows), strict=True)]
                    ways.append(told | {"gap": f"{between[0]:.9f} in", "row_gap": f"{between[1]:.9f} in"})
        if not ways:
            return plane
        end = self.chance.choice(ENDS[down])
        low = {"left": x0 - around[0], "right": around[2] - x1, "front": y0 - around[1], "back": around[3] - y1}
        upper = self.chance.choice(["above_eave", "below_ridge"])
        side = down if upper == "above_eave" else next(side for side, out in OUT.items() if out == tuple(-part for part in OUT[down]))
        at = {"from": f"{end} rake", "distance": feet(low[end]), upper: feet(low[side] / share)}
        self.told += 1
        self.laid_out += 1
        return {key: part for key, part in plane.items() if key != "arrays"} | {"layout": [self.chance.choice(ways) | at]}

    def falls(self, plane: Data) -> str | None:
        """Return the side toward which a plane falls that is square to the page; None where that is not told by its eave or direction."""
        faces = read_direction(plane.get("faces", "")) if plane.get("faces") not in OUT else None
        for side, out in OUT.items():
            if "eave" in plane:
                around = box_of(plane["outline"])
                if around is not None and all(is_on(around, side, float(x), float(y)) for x, y in plane["eave"]):
                    return side
            elif faces is not None and math.dist(faces.on_page(self.north), out) < AFT:
                return side
        return None

    def on_wall(self, name: str, side: str, x: float, y: float) -> Data:
        x0, y0, x1, y1 = self.boxes[name]
        corner = self.chance.choice(ENDS[side])
        at = {"left": x - x0, "right": x1 - x, "front": y - y0, "back": y1 - y}[corner]
        return {"wall": f"{name} {side}", "from": f"{corner} corner", "distance": feet(at)}

    def on_ground(self, x: float, y: float) -> Data:
        name, side = self.chance.choice(list(self.boxes)), self.chance.choice(list(OUT))
        x0, y0, x1, y1 = self.boxes[name]
        beyond = {"front": y0 - y, "right": x - x1, "back": y - y1, "left": x0 - x}
        inside = beyond[side] < 0
        corner = self.chance.choice(ENDS[side])
        at = {"left": x - x0, "right": x1 - x, "front": y - y0, "back": y1 - y}[corner]
        length = x1 - x0 if corner in ("left", "right") else y1 - y0
        if inside or at > length:
            # Not off this wall: from the corner of another building's wall, or past the far corner.
            others = [other for other, away in beyond.items() if away >= 0]
            side = self.chance.choice(others)
            corner = self.chance.choice(ENDS[side])
            at = {"left": x - x0, "right": x1 - x, "front": y - y0, "back": y1 - y}[corner]
            length = x1 - x0 if corner in ("left", "right") else y1 - y0
        if at > length:
            corner = next(end for end in ENDS[side] if end != corner)
            at = length - at
        told = {"past": corner, "along": feet(-at)} if at < 0 else {"from": corner, "along": feet(at)}
        return {"away_from": f"{name} {side}", "distance": feet(beyond[side])} | told


def box_of(outline: Any) -> tuple[float, float, float, float] | None:
    """Return left, front, right and back of a rectangle square to the page."""
    points = [(float(x), float(y)) for x, y in outline]
    xs, ys = sorted({x for x, _ in points}), sorted({y for _, y in points})
    return (xs[0], ys[0], xs[1], ys[1]) if len(points) == 4 and len(xs) == len(ys) == 2 else None


def is_on(box: tuple[float, float, float, float], side: str, x: float, y: float) -> bool:
    x0, y0, x1, y1 = box
    off = {"front": y - y0, "right": x - x1, "back": y - y1, "left": x - x0}[side]
    within = x0 <= x <= x1 if side in ("front", "back") else y0 <= y <= y1
    return abs(off) < AFT and within


def lies_in(box: tuple[float, float, float, float], x: float, y: float) -> bool:
    return box[0] < x < box[2] and box[1] < y < box[3]


def inches(text: str) -> float:
    """Return a length in inches, as data sheets of the houses write it."""
    return float(text.removesuffix(" in"))


def feet(number: float) -> str:
    return f"{number + 0:.9f} ft"


def shift(number: float, up: str, down: str) -> str:
    return "flush" if number == 0 else f"{abs(number):.9f} ft {up if number > 0 else down}"


def test_the_demo_in_words_and_in_coordinates(tmp_path: Path) -> None:
    """The coordinates were drawn by hand, before anything of this house was told in words."""
    assert "north" not in data_of("demo")["site"]["plan"]
    assert differences(findings(in_coordinates("demo"), tmp_path), findings(data_of("demo"), tmp_path)) == []


def laid_out() -> Data:
    """Return the demo with room for its 24 modules, 67.8 in by 44.6 in, in three rows of eight between the gaps that are left."""
    data = in_coordinates("demo")
    data["site"]["plan"]["roof_planes"]["house front"]["arrays"] = [[[15, 42], [61, 42], [61, 53], [15, 53]]]
    return data


def test_an_array_told_in_rows_and_columns(tmp_path: Path) -> None:
    data = laid_out()
    before, told = findings(data, tmp_path), set()
    for number in range(6):
        teller = Teller(data, random.Random(number))
        assert differences(before, findings(teller.house(), tmp_path)) == []
        told.add(teller.laid_out)
    assert told == {1}


@pytest.mark.sample(every=8)
@of_each_plan
def test_told_in_words(name: str, seed: int, tmp_path: Path) -> None:
    data = in_coordinates(name)
    before = findings(data, tmp_path)
    for number in range(3):
        teller = Teller(data, random.Random(seed + number))
        assert differences(before, findings(teller.house(), tmp_path)) == []
        assert teller.told >= 2, f"hardly anything of {name} is square to the page"


def turned_by_compass(data: Data, degrees: float) -> Data:
    """Turn the house in the world: another reading at the front door, and all that is told by the compass with it."""

    def walk(tree: Any) -> Any:
        if isinstance(tree, list):
            return [walk(item) for item in tree]
        if not isinstance(tree, dict):
            return tree
        return {key: turned(value) if key in ("faces", "front_faces") else walk(value) for key, value in tree.items()}

    def turned(words: str) -> str:
        if words in OUT:
            return words
        direction = read_direction(words)
        return words if direction is None else f"{(direction.bearing_deg + degrees) % 360:.6f}°"

    def wall(name: str) -> str:
        building, comma, side = name.partition(",")
        return f"{building}, {turned(side.strip())}" if comma else name

    changed = walk(data)
    plan = changed["site"]["plan"]
    if "openings_shown" in plan:
        plan["openings_shown"] = {wall(name): by for name, by in plan["openings_shown"].items()}
    return changed


@pytest.mark.sample(every=8)
@of_each_plan
def test_turned_by_the_compass(name: str, tmp_path: Path) -> None:
    data = data_of("demo") if name == "demo" else Teller(in_coordinates(name), random.Random(7)).house()
    before = findings(data, tmp_path)

    @few
    @given(st.integers(1, 3599).map(lambda tenths: tenths / 10))
    def check(degrees: float) -> None:
        assert differences(before, findings(turned_by_compass(data, degrees), tmp_path)) == []

    check()


def test_the_demo_mirrored_in_words(tmp_path: Path) -> None:
    """Right for left in every word, and what is drawn in coordinates from the other side of the lot, which is 110 ft wide."""

    def swapped(text: str) -> str:
        return " ".join(SWAPPED.get(word, word) for word in text.split(" "))

    def walk(tree: Any, key: str = "") -> Any:
        if isinstance(tree, dict):
            return {swapped(name): walk(part, name) for name, part in tree.items()}
        if isinstance(tree, list):
            points = len(tree) == 2 and all(isinstance(part, str) and part.replace(".", "").lstrip("-").isdigit() for part in tree)
            return [f"{110 - float(tree[0]):.9f}", tree[1]] if points else [walk(part) for part in tree]
        words = key in ("wall", "from", "past", "away_from", "beside", "faces")
        return swapped(tree) if words else tree

    data = data_of("demo")
    places = {tag: item | {"place": walk(item["place"])} if "place" in item else item for tag, item in data["equipment"].items()}
    routes = {tag: run | {"route": walk(run["route"])} if "route" in run else run for tag, run in data["raceways"].items()}
    mirrored = data | {"site": data["site"] | {"plan": walk(data["site"]["plan"])}, "equipment": places, "raceways": routes}
    assert mirrored["site"]["plan"]["buildings"]["garage"]["beside"] == "house left"
    assert differences(findings(data, tmp_path), findings(mirrored, tmp_path)) == []
