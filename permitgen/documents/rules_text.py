"""Rules as plain text for a terminal: the list, a page for one, and how one stands with every subject of a project."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from permitgen.documents.causes_text import WIDTH
from permitgen.documents.findings_text import method_line
from permitgen.views.findings import way_verdict
from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from permitgen.views.findings import FindingText, MethodLine
    from permitgen.views.rule_page import InEdition, RulePage

_NOT_AT_HAND = "not at hand: the program was installed without the text of its modules"


def rules_report(rules: Sequence[tuple[str, str, str, InEdition]]) -> str:
    """Return every rule below its subject: id, title, section and grade."""
    lines: list[str] = []
    before = ""
    for subject, id_, title, where in rules:
        if subject != before:
            lines += ["", subject.upper()] if lines else [subject.upper()]
            before = subject
        lines += _paragraph(f"{id_}  {title}  [{where.citation}; {where.grade}]", "  ")
    return "\n".join(lines)


def rule_report(page: RulePage) -> str:
    """Return what a rule requires, why, of what, both examples, and its section and grade in each edition."""
    lines = [f"{page.id}  {page.title}", ""]
    said = (
        ("requires", page.text.requires),
        ("why", page.text.why),
        ("applies to", page.text.applies_to),
        ("fails", page.text.fails),
        ("passes", page.text.passes),
    )
    for name, text in said:
        lines += _paragraph(text or _NOT_AT_HAND, f"{name:<12}")
    lines.append("")
    for each in page.editions:
        source = f"; {each.source}" if each.source else ""
        lines += _paragraph(f"{each.citation}  [{each.grade}{source}]", f"{each.edition:<12}")
        if each.remark:
            lines += _paragraph(each.remark, " " * 12)
    return "\n".join(lines)


def why_report(rule: str, findings: Sequence[FindingText]) -> str:
    """Return how a rule stands with each subject: verdict, both numbers, or the reason for which it does not apply."""
    if not findings:
        return f"{rule}: this project has nothing that it judges"
    lines = [f"{rule}  {findings[0].title}", f"  {findings[0].section}"]
    for finding in findings:
        lines += _why(finding)
    return "\n".join(lines)


def _why(finding: FindingText) -> Iterator[str]:
    state = "" if finding.state == "permitted" else f" as {finding.state}"
    yield ""
    yield from _paragraph(f"{verdict_word(finding.verdict)}{state}  {finding.message}", f"{finding.subject}: ")
    if finding.comparison:
        yield f"  {finding.comparison}   {finding.section}"
    yield from (_method(method, finding.verdict) for method in finding.methods)
    if finding.suggestions:
        yield f"  passes with: {' · '.join(finding.suggestions)}"
    if finding.doubt:
        yield from _paragraph(finding.doubt, "  to confirm: ")


def _method(method: MethodLine, whole: str) -> str:
    """One way or part; a reason in words is not said twice."""
    in_words = not method.name and method.comparison == method.message
    return f"  {method.message} ({verdict_word(way_verdict(method.verdict, whole))})" if in_words else method_line(method, whole)


def _paragraph(text: str, lead: str) -> list[str]:
    indent = " " * min(len(lead), 12)
    return textwrap.wrap(text, WIDTH, initial_indent=lead, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)
