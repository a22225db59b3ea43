"""Tries the changes a violated rule offers and keeps those with which nothing that was met breaks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.run_rule import run_rule
from permitgen.rules.given import Given
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.rules.rule import Rule, all_rules
from permitgen.rules.subjects import subjects_of, tag_of

if TYPE_CHECKING:
    from permitgen.code.codebook import CodeBook
    from permitgen.system.system import System

_AT_MOST = 3


def remedies_that_pass(judgement: Judgement, rule: Rule, subject_tag: str, system: System, code: CodeBook) -> tuple[str, ...]:
    """Return the texts of the offered changes after which ``rule`` holds and no rule is newly violated; at most three."""
    before = None
    kept: list[str] = []
    for remedy in judgement.remedies:
        given = Given(remedy.change(system), code)
        if not _holds(rule, subject_tag, given):
            continue
        before = before if before is not None else _violated(Given(system, code))
        if _violated(given) <= before:
            kept.append(remedy.text)
        if len(kept) == _AT_MOST:
            break
    return tuple(kept)


def _holds(rule: Rule, subject_tag: str, given: Given) -> bool:
    subjects = [s for s in subjects_of(given, rule.judges) if tag_of(s) == subject_tag]
    return bool(subjects) and all(run_rule(rule, s, given).holds for s in subjects)


def _violated(given: Given) -> set[tuple[str, str]]:
    return {
        (rule.id, tag_of(subject))
        for rule in all_rules()
        for subject in subjects_of(given, rule.judges)
        if run_rule(rule, subject, given).verdict is Verdict.VIOLATED
    }
