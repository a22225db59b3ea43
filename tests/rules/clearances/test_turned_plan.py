"""A roof is judged alike however its plan lies on the page: turned by any angle, or mirrored (geometry: distances do not change)."""

from __future__ import annotations

import copy
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.run_rule import run_rule
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.given import Given
from permitgen.rules.rule import all_rules
from tests.examples import examples

BASES = Path(__file__).resolve().parents[1] / "bases"
RULES = [
    rule for rule in all_rules() if rule.id in {"roof-pathways", "roof-pathway-obstructions", "roof-ridge-setback", "plan-agrees-roof"}
]
READ = read_yaml_file(BASES / "roof_array.yaml")
VENT = {"kind": "vent", "at": ["40", "40"], "diameter": "6 in"}


def points_turned(value, angle, *, mirrored):
    """Every pair of numbers in nested lists and mappings, turned about the origin after the mirror."""
    if isinstance(value, dict):
        return {key: points_turned(entry, angle, mirrored=mirrored) for key, entry in value.items()}
    if isinstance(value, list) and len(value) == 2 and all(isinstance(part, str) for part in value):
        x, y = (-1 if mirrored else 1) * float(value[0]), float(value[1])
        cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        return [f"{x * cos + y * sin:.9f}", f"{y * cos - x * sin:.9f}"]
    if isinstance(value, list):
        return [points_turned(entry, angle, mirrored=mirrored) for entry in value]
    return value


def judged(angle, *, mirrored, faces):
    """Verdicts and numbers on the house turned clockwise by ``angle`` on its page, where north turns with it."""
    data = copy.deepcopy(READ.data)
    plan = data["site"]["plan"]
    plan["obstructions"] = [VENT]
    data["raceways"]["R1"]["route"] = [["60", "25"], ["60", "35"]]
    data["site"]["plan"] = points_turned(plan, angle, mirrored=mirrored)
    data["raceways"]["R1"]["route"] = points_turned(data["raceways"]["R1"]["route"], angle, mirrored=mirrored)
    data["site"]["plan"]["north"] = f"{-angle:g}"
    for plane, direction in zip(data["site"]["plan"]["roof_planes"].values(), faces, strict=True):
        plane["faces"] = direction
    system = build_project(ReadFile(READ.file, READ.text, data, READ.positions), BASES).system
    given_ = Given(system, CodeBook(2023))
    found = [(rule.id, run_rule(rule, system.equipment["PV1"], given_)) for rule in RULES]
    return [(id_, part.verdict, part.computed.number if part.computed else None) for id_, one in found for part in one.nested()]


@examples(15, deadline=None)
@given(angle=st.integers(-359, 359), mirrored=st.booleans(), off=st.integers(-20, 20))
def test_a_turned_or_mirrored_plan_is_judged_alike(angle, mirrored, off):
    """A compass at the eave may be 20 degrees off: water runs off square to the eave all the same."""
    first = judged(0, mirrored=False, faces=("south", "north"))
    other = judged(angle, mirrored=mirrored, faces=(f"{180 + off}°", f"{(360 + off) % 360}°"))
    # The angle between the direction stated and the fall is what was varied; all else stays.
    kept = [[part for part in parts if part[0] != "plan-agrees-roof"] for parts in (first, other)]
    assert [part[:2] for part in other] == [part[:2] for part in first]
    assert [part[2] for part in kept[1]] == pytest.approx([part[2] for part in kept[0]], abs=1e-4)


def test_front_faces_tells_north():
    """The front of the plan is the bottom of the page; 203 degrees there is 23 degrees at its top."""
    data = copy.deepcopy(READ.data)
    data["site"]["plan"]["front_faces"] = "203°"
    system = build_project(ReadFile(READ.file, READ.text, data, READ.positions), BASES).system
    assert system.site.plan.north_deg == pytest.approx(23)
