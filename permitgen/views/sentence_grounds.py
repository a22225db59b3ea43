"""On what a sentence rests that says what the installation does, and whether that stands: ``phrases/grounds.yaml``, read once.

A sentence whose rule is violated, or was not judged, is not printed as a fact; what takes its place says what is not known.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Literal

import yaml

from permitgen.rules.judgement import Verdict
from permitgen.rules.loads.backup_capacity import of_the_full_load

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding

Stands = Literal["proven", "denied", "unknown"]


@dataclass(frozen=True, slots=True)
class Ground:
    """What one sentence rests on: a walk, rules (``rule`` or ``rule:subject``), stated facts, or nothing because it is advice.

    ``instead`` says by how the rules stand which sentence takes its place.
    """

    walk: str = ""
    rules: tuple[str, ...] = ()
    facts: str = ""
    advice: str = ""
    instead: Mapping[str, str] = field(default_factory=dict)


@cache
def grounds() -> Mapping[str, Ground]:
    """Return the ground of each sentence by its key."""
    loaded: Any = yaml.safe_load(files("permitgen.views.phrases").joinpath("grounds.yaml").read_text("utf-8"))
    return {str(key): Ground(**{**each, "rules": tuple(each.get("rules", ()))}) for key, each in loaded.items()}


def how_it_stands(evaluation: Evaluation, key: str) -> Stands:
    """Return how the rules stand that the sentence ``key`` rests on; one that was not even asked is not judged.

    A written grant changes what may be built, and not what it does: what was granted is denied here all the same.
    """
    verdicts = {verdict for name in grounds()[key].rules for verdict in _verdicts(evaluation, name)}
    if Verdict.VIOLATED in verdicts or Verdict.CAUTION in verdicts:
        return "denied"
    return "unknown" if Verdict.NOT_JUDGED in verdicts else "proven"


def proven_key(evaluation: Evaluation, key: str) -> str:
    """Return ``key`` where its rules all pass, else the key of what is said in its place."""
    stands = how_it_stands(evaluation, key)
    return key if stands == "proven" else grounds()[key].instead[stands]


def _verdicts(evaluation: Evaluation, name: str) -> Iterator[Verdict]:
    """Yield the verdicts of a rule, of one subject where the name has one."""
    rule, _, subject = name.partition(":")
    found = [finding for finding in evaluation.findings_of(rule) if not subject or finding.subject == subject]
    if subject and not found:
        yield Verdict.NOT_JUDGED
    for finding in found:
        yield _verdict(finding)


def _verdict(finding: Finding) -> Verdict:
    """Return the verdict; of the capacity without the utility that of all loads together, however the jurisdiction reads it."""
    if finding.rule != "backup-capacity":
        return finding.verdict
    full = of_the_full_load(finding.judgement).verdict
    return Verdict.NOT_JUDGED if full is Verdict.DOES_NOT_APPLY else full
