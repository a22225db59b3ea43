"""The calculations on one sheet: what is open, and for each requirement the case that comes closest to its limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.views.findings import finding_text
from permitgen.views.schedules import Schedule
from permitgen.views.title import status_of
from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding

_OPEN = (Verdict.VIOLATED, Verdict.NOT_JUDGED, Verdict.CAUTION)


@dataclass(frozen=True, slots=True)
class CalculationSummary:
    """``status`` in a sentence, notes, and the tables: what is open, the governing case of each requirement."""

    status: str
    notes: tuple[str, ...]
    schedules: tuple[Schedule, ...]


def calculation_summary_of(evaluation: Evaluation) -> CalculationSummary:
    """Return the summary of an evaluation."""
    tables = (_open_findings(evaluation), _governing(evaluation))
    return CalculationSummary(
        status=status_of(evaluation),
        notes=(
            "Every number below has its derivation, with sections and tables, in derivations.html of the same revision.",
            "Of several subjects under one requirement the one nearest to its limit is shown; the derivations show all.",
            f"Sections are those of {evaluation.given.code.edition.book} unless another book is named.",
        ),
        schedules=tuple(table for table in tables if table.rows),
    )


def _open_findings(evaluation: Evaluation) -> Schedule:
    rows = tuple(
        (verdict_word(str(finding.verdict)), finding.subject, text.message, _section(text.section, evaluation))
        for finding in evaluation.findings
        if finding.verdict in _OPEN
        for text in (finding_text(finding, ""),)
    )
    return Schedule("Open", ("VERDICT", "SUBJECT", "FINDING", "SECTION"), rows)


def _governing(evaluation: Evaluation) -> Schedule:
    """One row for each requirement that compares two numbers."""
    by_rule: dict[str, list[Finding]] = {}
    for finding in evaluation.findings:
        if finding.verdict is not Verdict.DOES_NOT_APPLY and finding.judgement.computed is not None and finding.judgement.limit is not None:
            by_rule.setdefault(finding.rule, []).append(finding)
    rows = []
    for found in by_rule.values():
        governing = max(found, key=_nearness)
        text = finding_text(governing, "")
        section = _section(text.section, evaluation)
        rows.append(
            (text.title, governing.subject, str(len(found)), text.computed, text.relation, text.limit, section, verdict_word(text.verdict))
        )
    headings = ("REQUIREMENT", "SUBJECT", "CASES", "COMPUTED", "", "LIMIT", "SECTION", "RESULT")
    return Schedule("Governing cases", headings, tuple(sorted(rows)))


def _section(section: str, evaluation: Evaluation) -> str:
    """Return a section without the name of the edition, which the notes name once."""
    return section.removeprefix(evaluation.given.code.edition.book).lstrip(": ")


def _nearness(finding: Finding) -> float:
    """How much of its limit a case uses up: 1 at the limit, more beyond it."""
    computed, limit = finding.judgement.computed, finding.judgement.limit
    if computed is None or limit is None:
        return 0.0
    given, bound = (computed.number, limit.number) if finding.judgement.relation in ("≤", "<", "=") else (limit.number, computed.number)
    return given / bound if bound else float("inf")
