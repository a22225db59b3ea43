"""A stated value within 2 percent of its limit asks for a second look, passing or not.

Source: 110.26(A)(1) 36 in deep, (A)(2) 30 in wide, (A)(3) 78 in high; 2 percent of 30 in are 0.6 in, by hand.
"""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.views.findings import finding_text

BASE = Path(__file__).resolve().parents[1] / "rules" / "bases" / "one_branch.yaml"


def near_limit_of(place: dict[str, str]) -> tuple[str, ...]:
    file = read_yaml_file(BASE)
    data: dict[str, Any] = copy.deepcopy(file.data)
    data["equipment"]["MSP"]["place"] |= {"clear_depth": "48 in", "clear_width": "40 in", "clear_height": "8 ft", **place}
    system = build_project(ReadFile(file.file, file.text, data, file.positions), BASE.parent).system
    found = evaluate(system, CodeBook(2023), with_suggestions=False).by_id["working-space:MSP"]
    return finding_text(found, "NEC 2023").near_limit


@pytest.mark.parametrize(
    ("fact", "stated", "is_near"),
    [
        ("clear_width", "30.6 in", True),
        ("clear_width", "30 in", True),
        ("clear_width", "29.4 in", True),
        ("clear_width", "30.7 in", False),
        ("clear_width", "29.3 in", False),
        ("clear_height", "6.6 ft", True),
        ("clear_height", "6.7 ft", False),
        ("clear_depth", "36.7 in", True),
    ],
)
def test_a_value_near_its_limit_is_named(fact: str, stated: str, *, is_near: bool) -> None:
    assert [text.partition(" ")[0] for text in near_limit_of({fact: stated})] == ([f"equipment.MSP.place.{fact}"] if is_near else [])
