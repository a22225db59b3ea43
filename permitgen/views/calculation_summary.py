"""The calculations on one sheet: what is open, and for each requirement of a quantity the case that comes closest to its limit."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import all_rules
from permitgen.views.findings import OPEN, finding_text
from permitgen.views.plan_legend import ABBREVIATIONS
from permitgen.views.schedules import Schedule
from permitgen.views.title import status_of
from permitgen.views.vocabulary import verdict_word
from permitgen.views.wording import without_book

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding


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
            "Of several subjects under one requirement the one nearest to its limit is shown. What stands on E-603, E-606 or the plans, "
            "counts, and what compares no numbers is not repeated: see the calculation, and derivations.html for every step.",
            f"Sections are those of {evaluation.given.code.edition.book} unless another book is named.",
        ),
        schedules=tuple(table for table in tables if table.rows),
    )


def _open_findings(evaluation: Evaluation) -> Schedule:
    rows = tuple(
        (verdict_word(str(finding.verdict)), finding.subject, _beside(finding.subject, text.message), _section(text.section, evaluation))
        for finding in evaluation.findings
        if finding.verdict in OPEN and not finding.is_open
        for text in (finding_text(finding, ""),)
    )
    return Schedule("Open", ("VERDICT", "SUBJECT", "FINDING", "SECTION"), rows)


def _beside(subject: str, message: str) -> str:
    """Return a message without the subject that it begins with: in its row that stands beside it."""
    return message.removeprefix(f"{subject}: ")


# What stands as a row on another sheet: circuits, devices and raceways on E-603, loads on E-606, places on the plans.
_ON_SCHEDULES = frozenset({"conductor-ampacity", "voltage-drop", "interrupting-rating", "conduit-fill", "wireway-fill"})
_ON_PLANS = frozenset({"clearances", "loads"})


def _governing(evaluation: Evaluation) -> Schedule:
    """One row for each requirement that compares two quantities and has no row on another sheet, in the order of the sections."""
    folder_of = {rule.id: rule.folder for rule in all_rules()}
    by_rule: dict[str, list[Finding]] = {}
    for finding in evaluation.findings:
        is_elsewhere = finding.rule in _ON_SCHEDULES or folder_of[finding.rule] in _ON_PLANS
        if finding.verdict is not Verdict.DOES_NOT_APPLY and not is_elsewhere and _compares_quantities(finding):
            by_rule.setdefault(finding.rule, []).append(finding)
    rows = []
    for found in by_rule.values():
        governing = max(found, key=_nearness)
        text = finding_text(governing, "")
        section = _section(text.section, evaluation)
        numbers = f"{text.computed} {text.relation} {text.limit}"
        row = (requirement_of(governing.rule), governing.subject, numbers, section, verdict_word(text.verdict))
        rows.append((row, (governing.subject.split("@")[0],) if governing.is_open else ()))
    headings = ("REQUIREMENT", "SUBJECT", "NUMBERS", "SECTION", "RESULT")
    ordered = sorted(rows, key=lambda pair: (_section_order(pair[0][3]), pair[0][0]))
    return Schedule("Governing cases", headings, tuple(row for row, _ in ordered), tuple(tags for _, tags in ordered))


def requirement_of(rule: str) -> str:
    """Return the words of a rule's id as they begin a line, its abbreviations as the legend spells them."""
    # The field calls what forms a neutral an autotransformer; the ids of rules are older than the vocabulary.
    first, *others = (_SPELLED.get(word, word) for word in rule.replace("neutral-former", "autotransformer").split("-"))
    return " ".join((first[:1].upper() + first[1:], *others))


_SPELLED = {word.casefold(): word for word in ("MID", *(short.partition("-")[0] for short in ABBREVIATIONS)) if len(word) > 1}


def _compares_quantities(finding: Finding) -> bool:
    """Whether two numbers with a unit are compared: a count is no calculation."""
    computed, limit = finding.judgement.computed, finding.judgement.limit
    return computed is not None and limit is not None and limit.unit != "count"


def _section_order(section: str) -> tuple[bool, list[int], str]:
    """Sections by article and number: 110.9 before 110.10, other books and common practice last."""
    numbers = [int(number) for number in re.findall(r"\d+", section)]
    return (not section[:1].isdigit(), numbers, section)


def _section(section: str, evaluation: Evaluation) -> str:
    """Return a section without the name of the edition, which the notes name once."""
    return without_book(section, evaluation.given.code.edition.book)


def _nearness(finding: Finding) -> float:
    """How much of its limit a case uses up: 1 at the limit, more beyond it."""
    computed, limit = finding.judgement.computed, finding.judgement.limit
    if computed is None or limit is None:
        return 0.0
    given, bound = (computed.number, limit.number) if finding.judgement.relation in ("≤", "<", "=") else (limit.number, computed.number)
    return given / bound if bound else float("inf")
