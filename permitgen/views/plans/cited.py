"""Words of findings for drawings: the number found, the number asked, the section."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, at_least, at_most
from permitgen.views.wording import feet_and_inches, value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.values.value import Value

_AGREES_FT = 0.25
_OPPOSITE = {"≥": "<", "≤": ">", "=": "≠"}


def finding_of(evaluation: Evaluation, rule: str, subject: str) -> Finding | None:
    """Return the finding of a rule on a subject that applies, else None."""
    found = evaluation.by_id.get(f"{rule}:{subject}")
    return found if found is not None and found.verdict is not Verdict.DOES_NOT_APPLY else None


def comparison(judgement: Judgement) -> str:
    """Return ``39.6 in ≥ 36 in``, ``30 in < 36 in`` where the limit is not kept, or an empty string where nothing was compared."""
    computed, limit = judgement.computed, judgement.limit
    if computed is None or limit is None:
        return ""
    kept = {"≥": at_least, "≤": at_most}.get(judgement.relation)
    is_kept = kept(computed, limit) if kept is not None else judgement.holds
    relation = judgement.relation if is_kept else _OPPOSITE.get(judgement.relation, judgement.relation)
    return f"{rounded(computed)} {relation} {rounded(limit)}"


def rounded(value: Value) -> str:
    """Return a value as drawings print it: inches and percent with one decimal."""
    return value_text(value, decimals=1 if value.unit in ("in", "percent") else None)


def spacing_words(evaluation: Evaluation, finding: Finding, drawn_ft: float) -> str:
    """Return what stands at the dimension between two storage units: the judgement; first what is drawn where that is another distance."""
    mark = not_kept(finding.verdict)
    words = f"{comparison(finding.judgement)}{' ' + mark if mark else ''}, {finding.citation}"
    place = evaluation.system.equipment[finding.subject].place
    stated = place.fact("to_next_unit") if place is not None else None
    if stated is None or is_as_drawn(stated, drawn_ft):
        return words
    return f"{feet_and_inches(drawn_ft)} drawn; stated {words}"


def is_as_drawn(stated: Value, drawn_ft: float) -> bool:
    """Whether a stated length in feet is the one that a sheet draws, to what a reader could measure there."""
    return abs(stated.number - drawn_ft) <= _AGREES_FT


def not_kept(verdict: Verdict) -> str:
    """Return a word that marks a limit which is not kept or not judged; empty where it is kept."""
    return {Verdict.VIOLATED: "NOT MET", Verdict.NOT_JUDGED: "NOT CHECKED", Verdict.CAUTION: "CAUTION"}.get(verdict, "")


def depth_in_front(finding: Finding) -> Judgement | None:
    """Return what a finding on working space says of the depth; None where it did not judge it."""
    return next((part for part in finding.judgement.parts if part.provision == "working_space_depth" and part.limit is not None), None)


def working_space_limits(finding: Finding) -> tuple[Value, Value, Value] | None:
    """Return depth (ft), width (in) and height (ft) that a finding on working space asks for; None where it did not judge all three."""
    found: dict[str, Value] = {}
    for part in finding.judgement.parts:
        if part.limit is not None:
            found["depth" if part.provision == "working_space_depth" else {"in": "width", "ft": "height"}.get(part.limit.unit, "")] = (
                part.limit
            )
    if not {"depth", "width", "height"} <= set(found):
        return None
    return found["depth"], found["width"], found["height"]
