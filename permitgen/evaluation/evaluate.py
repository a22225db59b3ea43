"""``evaluate``: the one door to the calculation."""

from __future__ import annotations

from collections.abc import Iterator, Set
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluation import Evaluation
from permitgen.evaluation.finding import ORDER, Finding
from permitgen.evaluation.remedies import remedies_that_pass
from permitgen.evaluation.run_rule import run_rule
from permitgen.evaluation.unread_edition import judged_as_last_read, sized_by_last_read
from permitgen.evaluation.whatever_it_is import Trials
from permitgen.rules.given import Given
from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import all_rules
from permitgen.rules.subjects import place_of, subjects_of, tag_of

if TYPE_CHECKING:
    from permitgen.system.system import System


def evaluate(system: System, code: CodeBook, *, state: str = "permitted", with_suggestions: bool = True) -> Evaluation:
    """Size what is open, then run every rule on every subject once."""
    given, sizings = sized_by_last_read(system, code)
    findings = list(_findings(given))
    if with_suggestions:
        violated = {(finding.rule, finding.subject) for finding in findings if finding.verdict is Verdict.VIOLATED}
        findings = [_with_suggestions(finding, given, violated) for finding in findings]
    places = {
        tag: index
        for index, tag in enumerate((*given.system.equipment, *given.system.raceways, *given.system.circuits, *given.system.controls))
    }
    findings.sort(key=lambda f: (ORDER[f.verdict], places.get(_head(f.subject), len(places)), f.subject, f.rule))
    return Evaluation(given, tuple(findings), sizings, state)


def _head(subject: str) -> str:
    return subject.split("@", maxsplit=1)[0].split(".", maxsplit=1)[0]


def _findings(given: Given) -> Iterator[Finding]:
    before = Given(given.system, given.code.last_read) if given.code.last_read is not given.code else None
    trials = Trials(given)
    for rule in all_rules():
        for subject in subjects_of(given, rule.judges):
            judgement = run_rule(rule, subject, given)
            if before is not None and judgement.is_of_unread_text:
                judgement = judged_as_last_read(judgement, run_rule(rule, subject, before), before.code)
            elif judgement.verdict is Verdict.NOT_JUDGED:
                judgement = trials.judged(rule, subject, judgement)
            provision = given.code.provision(judgement.provision or rule.provision)
            yield Finding(rule.id, rule.title, tag_of(subject), judgement, judgement.section, provision.citation, place_of(subject))


def _with_suggestions(finding: Finding, given: Given, violated: Set[tuple[str, str]]) -> Finding:
    if finding.verdict is not Verdict.VIOLATED or not finding.judgement.remedies:
        return finding
    rule = next(r for r in all_rules() if r.id == finding.rule)
    return replace(finding, suggestions=remedies_that_pass(finding.judgement, rule, finding.subject, given, violated))
