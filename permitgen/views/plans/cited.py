"""Words of findings for drawings: the number found, the number asked, the section."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.values.value import Value

_SIGN = {"≥": "≥", "≤": "≤", "=": "="}


def finding_of(evaluation: Evaluation, rule: str, subject: str) -> Finding | None:
    """Return the finding of a rule on a subject that applies, else None."""
    found = evaluation.by_id.get(f"{rule}:{subject}")
    return found if found is not None and found.verdict is not Verdict.DOES_NOT_APPLY else None


def comparison(judgement: Judgement) -> str:
    """Return ``39.6 in ≥ 36 in``, or an empty string where nothing was compared."""
    if judgement.computed is None or judgement.limit is None:
        return ""
    return f"{rounded(judgement.computed)} {_SIGN.get(judgement.relation, judgement.relation)} {rounded(judgement.limit)}"


def rounded(value: Value) -> str:
    """Return a value as drawings print it: inches and percent with one decimal."""
    return value_text(value, decimals=1 if value.unit in ("in", "percent") else None)


def not_kept(verdict: Verdict) -> str:
    """Return a word that marks a limit which is not kept or not judged; empty where it is kept."""
    return {Verdict.VIOLATED: "NOT KEPT", Verdict.NOT_JUDGED: "NOT JUDGED", Verdict.CAUTION: "CAUTION"}.get(verdict, "")
