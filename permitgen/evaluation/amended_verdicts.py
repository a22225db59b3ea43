"""Says of each verdict which local ordinance changed it, and keeps what an ordinance relaxes of life safety a caution.

What an ordinance changed is measured: the rules run again without it. Whoever reads a verdict sees who decided it, and what the code
itself says; a requirement of shutdown, disconnects, bonds, interrupting ratings or the place of storage that is not met is never a
pass because it was struck.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.finding import ORDER, Finding
from permitgen.rules.judgement import Verdict

Judge = Callable[[CodeBook], Iterable[Finding]]


@dataclass(frozen=True, slots=True)
class ChangedVerdict:
    """What a verdict is without an ordinance, or without several that change it only together; ``ordinances`` are their names."""

    ordinances: tuple[str, ...]
    without: Verdict
    is_relaxed: bool


def with_ordinances(findings: Iterable[Finding], code: CodeBook, judge: Judge) -> list[Finding]:
    """Return the findings with what each ordinance of ``code`` changed; ``judge`` runs the rules by another book."""
    found = list(findings)
    for amendment in code.amendments:
        others = [each for each in code.amendments if each is not amendment]
        without = {each.id: each for each in judge(CodeBook(code.edition, others, code.fire_code.value))}
        found = [_changed(finding, without, (amendment.ordinance,)) for finding in found]
    if len(code.amendments) > 1:
        # Two that say the same change nothing one by one.
        by_code = {each.id: each for each in judge(CodeBook(code.edition, (), code.fire_code.value))}
        names = tuple(each.ordinance for each in code.amendments)
        found = [finding if finding.changed else _changed(finding, by_code, names) for finding in found]
    return found


def _added(finding: Finding, ordinances: tuple[str, ...]) -> Finding:
    """Return the finding of a requirement that only an ordinance asks for; its section names it already."""
    if finding.verdict is Verdict.DOES_NOT_APPLY or finding.changed:
        return finding
    return replace(finding, changed=(ChangedVerdict(ordinances, Verdict.DOES_NOT_APPLY, is_relaxed=False),))


def _changed(finding: Finding, without: Mapping[str, Finding], ordinances: tuple[str, ...]) -> Finding:
    before = without.get(finding.id)
    if before is None:
        return _added(finding, ordinances)
    if before.verdict is finding.verdict:
        return finding
    is_relaxed = ORDER[before.verdict] < ORDER[finding.verdict] and before.verdict is not Verdict.PASSES
    change = ChangedVerdict(ordinances, before.verdict, is_relaxed)
    by = " and ".join(ordinances)
    if is_relaxed and finding.is_of_life_safety:
        message = f"{before.judgement.message}; {finding.verdict} by {by}, {before.verdict} without it"
        judgement = replace(before.judgement, verdict=Verdict.CAUTION, message=message, missing=(), remedies=())
        return replace(before, judgement=judgement, changed=(*finding.changed, change))
    message = f"{finding.judgement.message}; by {by}, {before.verdict} without it"
    return replace(finding, judgement=replace(finding.judgement, message=message), changed=(*finding.changed, change))
