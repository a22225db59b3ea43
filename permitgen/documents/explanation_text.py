"""An explained subject as plain text for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.findings_text import method_line
from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from permitgen.views.explained_subject import ExplainedSubject
    from permitgen.views.explanation import StepText
    from permitgen.views.findings import FindingText


def explanation_report(subject: ExplainedSubject) -> str:
    """Return the chain of formulas with numbers, sections and source lines."""
    lines = [f"{subject.tag}  {subject.name}".rstrip()]
    lines += [f"  {label:<12} {text}" for label, text in subject.facts]
    lines += [f"  chosen       {choice}" for choice in subject.choices]
    for finding in subject.findings:
        lines += ["", *_finding(finding)]
    if not subject.findings:
        lines += ["", "no rule checks it"]
    return "\n".join(lines)


def _finding(finding: FindingText) -> list[str]:
    lines = [
        f"{verdict_word(finding.verdict)}  {finding.title}",
        f"  {finding.message}",
        f"  {finding.section}" + (f"   {finding.comparison}" if finding.comparison else ""),
    ]
    lines += [f"  {method_line(method, finding.verdict)}" for method in finding.methods if method.verdict != "does not apply"]
    if finding.suggestions:
        lines.append(f"  passes with: {' · '.join(finding.suggestions)}")
    for step in finding.steps:
        lines += _step(step)
    return lines


def _step(step: StepText) -> list[str]:
    lines = [f"    {step.title}" + (f"   [{step.section}]" if step.section else ""), f"      {step.line}"]
    if step.inputs:
        symbols = max(len(given.symbol) for given in step.inputs)
        values = max(len(given.value) for given in step.inputs)
        lines += [
            f"        {given.symbol:<{symbols}}  {given.value:<{values}}  {given.line or given.origin}   {given.title}".rstrip()
            for given in step.inputs
        ]
    return lines
