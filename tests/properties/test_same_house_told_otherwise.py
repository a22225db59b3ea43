"""The same house told otherwise: turned or mirrored on its sheet, written in another order, with other tags. No verdict, no number moves.

A plan that is turned on its sheet says so by the compass direction of the sheet's up; a mirrored one has east and west exchanged.
What is compared: for each finding its verdict and both numbers.
"""

from __future__ import annotations

import math
import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from permitgen.project.directions import read_direction
from tests.examples import examples
from tests.properties.houses import HOUSES, data_of, differences, findings, has_plan, in_coordinates, north_of

POINT, POINTS, OUTLINES = ("at", "map"), ("outline", "eave", "route", "lot"), ("arrays",)
of_each_house = pytest.mark.parametrize("name", HOUSES)
few = examples(6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def moved(tree: Any, move: Callable[[float, float], tuple[float, float]]) -> Any:
    """Return a part of the file with every point of the plan moved."""

    def point(pair: list[str]) -> list[str]:
        return [f"{number:.9f}" for number in move(float(pair[0]), float(pair[1]))]

    if isinstance(tree, list):
        return [moved(item, move) for item in tree]
    if not isinstance(tree, dict):
        return tree
    changed = {}
    for key, value in tree.items():
        if key in POINT and isinstance(value, list) and len(value) == 2:
            changed[key] = point(value)
        elif key in POINTS and isinstance(value, list):
            changed[key] = [point(pair) for pair in value]
        elif key in OUTLINES and isinstance(value, list):
            changed[key] = [[point(pair) for pair in outline] for outline in value]
        else:
            changed[key] = moved(value, move)
    return changed


def with_north(data: dict[str, Any], north_deg: float) -> dict[str, Any]:
    plan = {key: value for key, value in data["site"]["plan"].items() if key != "front_faces"} | {"north": f"{north_deg % 360:.9f}"}
    return data | {"site": data["site"] | {"plan": plan}}


def turned(data: dict[str, Any], degrees: float) -> dict[str, Any]:
    """Turn the drawing on its sheet against the clock."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return with_north(moved(data, lambda x, y: (c * x - s * y, s * x + c * y)), north_of(data["site"]["plan"]) + degrees)


def mirrored(data: dict[str, Any]) -> dict[str, Any]:
    """Exchange left and right of the drawing, and with them what everything faces."""
    north = north_of(data["site"]["plan"])

    def facing(tree: Any) -> Any:
        if isinstance(tree, list):
            return [facing(item) for item in tree]
        if not isinstance(tree, dict):
            return tree
        return {key: other(value) if key == "faces" else facing(value) for key, value in tree.items()}

    def other(words: str) -> str:
        direction = read_direction(words)
        return words if direction is None else f"{round((2 * north - direction.bearing_deg) % 360, 6):g}°"

    def walls(name: str) -> str:
        building, comma, side = name.partition(",")
        return f"{building}, {other(side)}" if comma else name

    changed = with_north(facing(moved(data, lambda x, y: (-x, y))), north)
    plan = changed["site"]["plan"]
    if "openings_shown" in plan:
        plan["openings_shown"] = {walls(name): by for name, by in plan["openings_shown"].items()}
    return changed


def test_most_houses_have_a_plan_to_turn() -> None:
    assert sum(map(has_plan, HOUSES)) > len(HOUSES) / 2


@pytest.mark.sample(every=19)
@of_each_house
def test_turned_on_its_sheet(name: str, tmp_path: Path) -> None:
    data = in_coordinates(name)
    if not has_plan(name):
        return
    before = findings(data, tmp_path)

    @few
    @given(st.integers(0, 3599).map(lambda tenths: tenths / 10))
    def check(degrees: float) -> None:
        assert differences(before, findings(turned(data, degrees), tmp_path)) == []

    check()


@pytest.mark.sample(every=19)
@of_each_house
def test_mirrored(name: str, tmp_path: Path) -> None:
    data = in_coordinates(name)
    if has_plan(name):
        assert differences(findings(data, tmp_path), findings(mirrored(data), tmp_path)) == []


def shuffled(tree: Any, chance: random.Random) -> Any:
    """Return a part of the file with the keys of every mapping in another order."""
    if isinstance(tree, list):
        return [shuffled(item, chance) for item in tree]
    if not isinstance(tree, dict):
        return tree
    keys = list(tree)
    chance.shuffle(keys)
    return {key: shuffled(tree[key], chance) for key in keys}


@pytest.mark.sample(every=19)
@of_each_house
def test_written_in_another_order(name: str, seed: int, tmp_path: Path) -> None:
    data = data_of(name)
    before = findings(data, tmp_path)
    for number in range(3):
        assert differences(before, findings(shuffled(data, random.Random(seed + number)), tmp_path)) == []


TAG = re.compile(r"[A-Z]+[A-Z0-9]*\d*")


def renamed(data: dict[str, Any], new: dict[str, str]) -> dict[str, Any]:
    words = re.compile(r"(?<![\w-])(" + "|".join(sorted(map(re.escape, new), key=len, reverse=True)) + r")(?![\w-])")

    def text(told_: str) -> str:
        return words.sub(lambda match: new[match[0]], told_)

    def walk(tree: Any) -> Any:
        if isinstance(tree, list):
            return [walk(item) for item in tree]
        if isinstance(tree, dict):
            return {text(key): walk(value) for key, value in tree.items()}
        return text(tree) if isinstance(tree, str) else tree

    return walk(data)


@pytest.mark.sample(every=19)
@of_each_house
def test_with_other_tags(name: str, tmp_path: Path) -> None:
    """Tags whose order of the alphabet is the reverse of the old one: nothing may hang on which comes first."""
    data = data_of(name)
    tags = sorted(tag for part in ("equipment", "raceways", "circuits") for tag in data.get(part, {}) if TAG.fullmatch(tag))
    new = {tag: f"Z{len(tags) - index:03d}" for index, tag in enumerate(tags)}
    back = {after: before for before, after in new.items()}
    ids = re.compile(r"Z\d{3}")
    after = findings(renamed(data, new), tmp_path)
    old = {ids.sub(lambda match: back[match[0]], id_): found for id_, found in after.items()}
    assert differences(findings(data, tmp_path), old) == []
