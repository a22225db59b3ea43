"""The demonstration house with mistakes: each marked mistake is found by the rule that a reviewer would cite, and explained."""

import re
from pathlib import Path

import pytest

from permitgen.package.opened_project import open_project
from permitgen.rules.judgement import Verdict

FILE = Path(__file__).resolve().parents[2] / "demo_project" / "with_mistakes.yaml"

# Mistake, rule, subject, section of NEC 2023 that a reviewer writes beside it (from the code; see tests/rules for each rule's sources).
MISTAKES = (
    (1, "interrupting-rating", "HP.main", "110.9"),
    (2, "single-neutral-bond", "utility neutral, with the utility", "250.24(B), 250.142(B)"),
    (3, "microinverter-branch", "PV1.A", ""),
    (4, "rapid-shutdown-initiator", "PV1", "690.12(C)"),
    (5, "conductor-protection", "C4", "240.4(D)"),
    (6, "conductor-ampacity", "C7", "705.28(B)"),
    (7, "terminal-capacity", "C8@ESS1", "110.14(A)"),
    (8, "source-landing", "ESS2", "110.3(B)"),
    (9, "conductor-protection", "C10", "240.4"),
    (10, "equipment-grounding-conductor-size", "C11", "250.122"),
    (11, "conduit-fill", "R3", "Chapter 9 Table 1"),
    (12, "neutral-former-protection", "MID", "450.4(A)"),
    (13, "class-1-conductors", "SD1", ""),
    (14, "grounding-electrode-conductor-size", "GES", "250.66"),
)


@pytest.fixture(scope="module")
def evaluation():
    return open_project(FILE).evaluation


@pytest.mark.parametrize(("number", "rule", "subject", "section"), MISTAKES)
def test_mistake_is_found_and_explained(evaluation, number, rule, subject, section):
    finding = evaluation.by_id[f"{rule}:{subject}"]
    assert finding.verdict is Verdict.VIOLATED, number
    assert finding.judgement.message
    assert finding.judgement.section
    assert section in finding.citation


def test_every_mark_in_the_file_has_its_test():
    marked = {int(number) for number in re.findall(r"MISTAKE (\d+)", FILE.read_text("utf-8"))}
    assert marked == {number for number, *_ in MISTAKES}
