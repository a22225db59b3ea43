"""The load calculation on the sheets: the terms of the method by which the service is judged, and what is compared with loads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.views.findings import finding_text
from permitgen.views.reviewer.lines import short_section
from permitgen.views.reviewer.sections import load_tables
from permitgen.views.schedules import Schedule
from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.views.reviewer.parts import LoadTable

_RULES = ("service-capacity", "service-disconnect-load", "feeder-capacity", "neutral-load", "backup-capacity")


@dataclass(frozen=True, slots=True)
class LoadSummary:
    """A table for each calculated load, then one of everything that is compared with a load."""

    schedules: tuple[Schedule, ...]


def load_summary_of(evaluation: Evaluation) -> LoadSummary:
    """Return the load calculation; its steps with their formulas are those of the calculation."""
    book = evaluation.given.code.edition.book
    tables = tuple(_terms(table) for table in load_tables(evaluation, book))
    compared = _compared(evaluation, book)
    return LoadSummary(tuple(table for table in (*tables, compared) if table.rows))


def _terms(table: LoadTable) -> Schedule:
    rows = [(line.text, line.connected, line.factor, line.demand, line.section) for line in table.lines]
    rows.append(("sum", "", "", table.total, table.section))
    rows.append(("current", "", "", table.current, ""))
    if table.capacity:
        rows.append(("carried by", "", "", table.capacity, ""))
    return Schedule(f"Load calculation: {table.title}", ("LOAD", "CONNECTED", "FACTOR", "DEMAND", "SECTION"), tuple(rows))


def _compared(evaluation: Evaluation, book: str) -> Schedule:
    found = [f for rule in _RULES for f in evaluation.findings if f.rule == rule and f.verdict is not Verdict.DOES_NOT_APPLY]
    rows = []
    for finding in found:
        text = finding_text(finding, "")
        section = short_section(text.section, book)
        rows.append(
            (finding.subject, text.message.removeprefix(f"{finding.subject}: "), text.comparison, section, verdict_word(text.verdict))
        )
    tags = tuple((finding.subject,) for finding in found)
    return Schedule("Loads against what carries them", ("SUBJECT", "FINDING", "NUMBERS", "SECTION", "RESULT"), tuple(rows), tags)
