"""No sentence, label or row prints a number that nobody would write: 2.33333 ft is 2 ft 4 in on a tape.

A file may state lengths in meters or as thirds of a foot; what is then printed is as short as the rounding of `views/wording.py`.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.load import load_project
from permitgen.values.figure import figure, length
from permitgen.views.label_set import label_set_of
from permitgen.views.reviewer.document import reviewer_calculation_of

TOPOLOGIES = sorted((Path(__file__).parents[1] / "topologies").glob("b*.yaml"))
# Tables give resistances and areas with four decimals (Chapter 9 Tables 5 and 8), and nobody reads off more.
TOO_LONG = re.compile(r"\d\.\d{5,}|\d,?\d{4,}\.\d{3,}")
TOO_LONG_IN_A_SENTENCE = re.compile(r"[1-9]\d*\.\d{4,}|\be[+-]\d\d")
FEET = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) ft(?![²\w])")


@pytest.mark.parametrize(
    ("feet", "told"),
    [(7 / 3, "2 ft 4 in"), (2.5, "2.5 ft"), (3.25, "3.25 ft"), (11 / 12, "11 in"), (35, "35 ft"), (0.71 / 0.3048, "2.329 ft"), (0, "0 ft")],
)
def test_a_length_is_told_as_on_a_tape(feet: float, told: str) -> None:
    assert length(feet, "ft") == told


@pytest.mark.parametrize(("number", "told"), [(200 / 3, "66.667"), (43.5, "43.5"), (0.00012, "0.00012"), (250000, "250000"), (4, "4")])
def test_a_number_in_a_sentence_is_short(number: float, told: str) -> None:
    assert figure(number) == told


def _in_meters(text: str) -> str:
    """The file with its lengths in meters, to the millimeter: hardly one of them is a short decimal of feet."""
    return FEET.sub(lambda found: f"{float(found[1]) * 0.3048:.3f} m", text)


def _texts(view: Any) -> Iterator[str]:
    if isinstance(view, str):
        yield view
    elif dataclasses.is_dataclass(view):
        for each in dataclasses.fields(view):
            yield from _texts(getattr(view, each.name))
    elif isinstance(view, dict):
        yield from _texts(tuple(view.values()))
    elif isinstance(view, list | tuple):
        for each in view:
            yield from _texts(each)


def _evaluated(path: Path, folder: Path) -> Evaluation:
    project = folder / "project.yaml"
    project.write_text(_in_meters(path.read_text("utf-8")), "utf-8")
    for each in path.parent.glob("*.pdf"):
        (folder / each.name).write_bytes(each.read_bytes())
    system = load_project(project).system
    return evaluate(system, CodeBook(system.jurisdiction.edition, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("path", TOPOLOGIES, ids=lambda path: path.stem)
def test_no_printed_number_has_more_digits_than_anybody_reads(path: Path, tmp_path: Path) -> None:
    evaluation = _evaluated(path, tmp_path)
    messages = [finding.judgement.message for finding in evaluation.findings]
    assert [text for text in messages if TOO_LONG_IN_A_SENTENCE.search(text)] == []
    printed = [*_texts(label_set_of(evaluation).labels), *_texts(reviewer_calculation_of(evaluation))]
    assert len(printed) > 200
    assert [text for text in printed if TOO_LONG.search(text)] == []
