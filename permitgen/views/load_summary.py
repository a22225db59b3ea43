"""The load calculation as a worksheet: the steps of each capacity finding in order, with their formulas and sections."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.views.explanation import steps_of
from permitgen.views.findings import finding_text
from permitgen.views.schedules import Schedule

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding

_RULES = ("service-capacity", "service-disconnect-load", "feeder-capacity", "neutral-load", "backup-capacity")


@dataclass(frozen=True, slots=True)
class LoadPart:
    """One capacity that is checked: its title, the result in a sentence, the worksheet."""

    title: str
    result: str
    schedules: tuple[Schedule, ...]


@dataclass(frozen=True, slots=True)
class LoadSummary:
    """Every calculated load."""

    parts: tuple[LoadPart, ...]


def load_summary_of(evaluation: Evaluation) -> LoadSummary:
    """Return the load calculation; steps that several parts share are printed in the first."""
    found = [f for rule in _RULES for f in evaluation.findings if f.rule == rule and f.verdict is not Verdict.DOES_NOT_APPLY]
    printed: set[str] = set()
    return LoadSummary(tuple(_part(finding, printed) for finding in found))


def _part(finding: Finding, printed: set[str]) -> LoadPart:
    text = finding_text(finding, "")
    rows = []
    for step in steps_of(finding.judgement.all_values()):
        if step.id in printed:
            continue
        printed.add(step.id)
        rows.append((step.title, step.line, step.section))
    table = Schedule("Worksheet", ("STEP", "CALCULATION", "SECTION"), tuple(rows))
    result = f"{text.message}. {text.comparison} ({text.section}): {text.verdict}."
    return LoadPart(f"{text.title}: {finding.subject}", result, (table,) if rows else ())
