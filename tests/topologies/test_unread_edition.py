"""NEC 2026: its text was not read for this program, so nothing of it passes; a reader sees what NEC 2023 says of the same house.

No published source: the rule of the house that a pass is never printed for a text that was not read.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.code.provision import UNCONFIRMED
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.load import load_project
from permitgen.rules.judgement import Verdict

DEMO = Path(__file__).resolve().parents[2] / "demo_project"


def evaluated(file: str, edition: int) -> Evaluation:
    return evaluate(load_project(DEMO / file).system, CodeBook(edition), with_suggestions=False)


@pytest.mark.parametrize("file", ["project.yaml", "with_mistakes.yaml"])
def test_nothing_passes_or_is_violated_under_a_text_that_was_not_read(file: str) -> None:
    book = CodeBook(2026)
    for finding in evaluated(file, 2026).findings:
        if book.provision(finding.judgement.provision).status == UNCONFIRMED:
            assert finding.verdict in (Verdict.NOT_JUDGED, Verdict.DOES_NOT_APPLY), finding.id
            assert not finding.suggestions, finding.id


@pytest.mark.parametrize("file", ["project.yaml", "with_mistakes.yaml"])
def test_what_2023_says_stands_beside_it(file: str) -> None:
    before = evaluated(file, 2023).by_id
    unread = [f for f in evaluated(file, 2026).findings if f.judgement.is_of_unread_text]
    assert len(unread) > 300
    for finding in unread:
        assert finding.judgement.message.endswith(f"{before[finding.id].judgement.message} ({before[finding.id].verdict})"), finding.id
        assert "NEC 2023" in finding.judgement.message


def test_sizes_are_those_of_2023_and_say_so() -> None:
    chosen = {(s.tag, s.what): s.chosen for s in evaluated("project.yaml", 2023).sizings}
    sizings = evaluated("project.yaml", 2026).sizings
    assert {(s.tag, s.what): s.chosen for s in sizings} == chosen
    assert all("by NEC 2023; NEC 2026 was not read" in s.reason for s in sizings)


def test_what_the_trade_press_reports_is_said() -> None:
    """Reported, text not read: 230.85 is deleted in 2026 and its requirement stands in 230.70."""
    (finding,) = (f for f in evaluated("project.yaml", 2026).findings if f.rule == "emergency-disconnect")
    assert "in 230.70" in finding.judgement.doubt
