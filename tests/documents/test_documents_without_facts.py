"""Documents are written of a project that leaves facts out: they say what is not stated instead of stopping.

Nothing here is a published figure: a fact that the file does not state is named on the sheet, as a finding names it.
"""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_text
from permitgen.rules.judgement import Verdict
from permitgen.views.field_checklist import view_of
from permitgen.views.plan_grounding import grounding_details_of
from permitgen.views.schedules import circuit_schedules
from tests.whole_project import whole_text

DEMO = Path(__file__).resolve().parents[2] / "demo_project"


def stripped(tree: Any, keys: tuple[str, ...]) -> Any:
    """Return the plain data without some keys, whatever section they stand in."""
    if isinstance(tree, dict):
        return {key: stripped(value, keys) for key, value in tree.items() if key not in keys}
    return [stripped(item, keys) for item in tree] if isinstance(tree, list) else tree


def evaluated_without(*keys: str) -> Evaluation:
    file = read_text(whole_text(DEMO / "project.yaml"), (DEMO / "project.yaml").as_posix())
    data = stripped(copy.deepcopy(file.data), keys)
    assert data != file.data
    system = build_project(ReadFile(file.file, file.text, data, file.positions), DEMO).system
    return evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def test_grounding_sheet_says_that_no_neutral_is_stated() -> None:
    rows = grounding_details_of(evaluated_without("neutral")).neutral_rows
    assert rows
    assert all(bonded.startswith("not stated: whether ") and bonded.endswith(" has a neutral conductor") for _, _, bonded in rows)


def test_panel_whose_neutral_is_not_stated_is_not_called_without_one() -> None:
    assert evaluated_without("neutral").by_id["island-neutral:HP"].verdict is Verdict.NOT_JUDGED


@pytest.mark.parametrize("keys", [("neutral",), ("leg", "category"), ("dwelling",)])
def test_schedules_and_checklist_are_written_without_facts(keys: tuple[str, ...]) -> None:
    evaluation = evaluated_without(*keys)
    assert [schedule.rows for schedule in circuit_schedules(evaluation) if schedule.rows]
    assert view_of(evaluation, "0" * 64).sections
