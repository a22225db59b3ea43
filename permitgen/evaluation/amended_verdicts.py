"""Says of each verdict which local ordinance changed it, and keeps what an ordinance relaxes of life safety a caution.

What an ordinance changed is measured: the rules run again without it. Whoever reads a verdict sees who decided it, and what the code
itself says; a requirement of shutdown, disconnects, bonds, interrupting ratings or the place of storage that is not met is never a
pass because it was struck.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.finding import ORDER, Finding
from permitgen.rules.judgement import Verdict

if TYPE_CHECKING:
    from permitgen.code.amendment import Amendment

Judge = Callable[[CodeBook], Iterable[Finding]]


@dataclass(frozen=True, slots=True)
class ChangedVerdict:
    """What a verdict is without the ordinance called ``ordinance``."""

    ordinance: str
    without: Verdict
    is_relaxed: bool


def with_ordinances(findings: Iterable[Finding], code: CodeBook, judge: Judge) -> list[Finding]:
    """Return the findings with what each ordinance of ``code`` changed; ``judge`` runs the rules by another book."""
    found = list(findings)
    for amendment in code.amendments:
        others = [each for each in code.amendments if each is not amendment]
        without = {each.id: each for each in judge(CodeBook(code.edition, others, code.fire_code.value))}
        found = [_changed(finding, without, amendment) for finding in found]
    return found


def _changed(finding: Finding, without: Mapping[str, Finding], amendment: Amendment) -> Finding:
    before = without.get(finding.id)
    if before is None or before.verdict is finding.verdict:
        return finding
    is_relaxed = ORDER[before.verdict] < ORDER[finding.verdict] and before.verdict is not Verdict.PASSES
    change = ChangedVerdict(amendment.ordinance, before.verdict, is_relaxed)
    if is_relaxed and finding.is_of_life_safety:
        message = f"{before.judgement.message}; {finding.verdict} by {amendment.ordinance}, {before.verdict} without it"
        judgement = replace(before.judgement, verdict=Verdict.CAUTION, message=message, missing=(), remedies=())
        return replace(before, judgement=judgement, changed=(*finding.changed, change))
    message = f"{finding.judgement.message}; by {amendment.ordinance}, {before.verdict} without it"
    return replace(finding, judgement=replace(finding.judgement, message=message), changed=(*finding.changed, change))
