"""Findings as plain text for a terminal: causes with what mends them, what is asked of whom, and how the gates stand."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from permitgen.documents.causes_text import WIDTH, cause_lines, caution_lines
from permitgen.documents.questions_text import full_question_lines, question_lines_within
from permitgen.views.asked import asked_lines
from permitgen.views.causes import causes_of
from permitgen.views.findings import way_verdict
from permitgen.views.gates import gate_text, unchecked_lines
from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.evaluation.gates import Gate
    from permitgen.views.asked import AskedPoint
    from permitgen.views.findings import FindingText, MethodLine
    from permitgen.views.questions import Question
    from permitgen.views.title import DocumentTitle

SCREEN = 50
"""Lines of a terminal on which a report stands whole."""
_AT_THE_END = 3
_OPEN = ("violated", "not judged", "caution")


def findings_report(
    findings: Sequence[FindingText],
    questions: Sequence[Question],
    gates: Sequence[Gate],
    title: DocumentTitle,
    asked: Sequence[AskedPoint] = (),
    *,
    file: str,
    everything: bool,
) -> str:
    """Return the report on a project ``file``: causes and questions, or on request every finding.

    At its end: what the department asked for before, count, gates and edition.
    """
    counts = {verdict: sum(f.verdict == verdict for f in findings) for verdict in (*_OPEN, "passes")}
    before = asked_lines(asked, briefly=bool(counts["violated"]))
    waiting = unchecked_lines(gates)
    room = SCREEN - len(before) - len(waiting) - _AT_THE_END
    lines = _every_finding(findings, questions) if everything else _causes_and_questions(findings, questions, file, room)
    lines += before
    lines.append("; ".join(f"{count} {verdict_word(verdict)}" for verdict, count in counts.items()))
    lines += [textwrap.shorten(line, WIDTH, placeholder=" …") for line in waiting]
    lines.append(" · ".join(gate_text(gate) for gate in gates))
    lines.append(f"{title.edition} · {title.project} · revision {title.revision}")
    return "\n".join(lines)


def _causes_and_questions(findings: Sequence[FindingText], questions: Sequence[Question], file: str, room: int) -> list[str]:
    """Where something fails that comes first, and cautions are told briefly; questions are whole where ``room`` lines hold it all."""
    causes = causes_of(findings)
    violated = [cause for cause in causes if cause.lead.verdict == "violated"]
    failing = [line for cause in violated for line in cause_lines(cause, file)]
    unasked = [finding for finding in findings if finding.verdict == "not judged" and not finding.missing]
    open_ = [f"{verdict_word(f.verdict)}  {f.message}  [{f.rule}]" for f in unasked]
    cautions = caution_lines(causes, file, briefly=bool(failing))
    least = len(question_lines_within(questions, 0))
    if 1 + len(failing) + least + len(open_) + len(cautions) > room:
        failing = [line for cause in violated for line in cause_lines(cause, file, briefly=True)]
    asked = question_lines_within(questions, room - 1 - len(failing) - len(open_) - len(cautions))
    told = [*failing, *asked, *open_, *cautions]
    return [f"{file}:", *told] if told else []


def _every_finding(findings: Sequence[FindingText], questions: Sequence[Question]) -> list[str]:
    lines: list[str] = []
    for finding in findings:
        if finding.verdict in _OPEN:
            lines += [*_finding(finding), ""]
        else:
            rests_on = f"{finding.comparison or finding.section}; text: {finding.grade}"
            lines.append(f"{verdict_word(finding.verdict):<11} {finding.rule}  {finding.message}  [{rests_on}]")
            lines += _near_limit(finding)
    return [*lines, *full_question_lines(questions)]


def _finding(finding: FindingText) -> list[str]:
    state = "" if finding.state == "permitted" else f"as {finding.state}: "
    verdict = f"{verdict_word(finding.verdict)}, granted" if finding.granted else verdict_word(finding.verdict)
    head = f"{verdict:<11} {finding.rule}   {state}{finding.message}"
    lines = [head, f"            {finding.section}", *_grade(finding)]
    places = [(f"{place.file}:{place.line}:{place.column}", place.text) for place in finding.places[:8]]
    if not places and finding.source is not None:
        places = [(f"{finding.source.file}:{finding.source.line}:{finding.source.column}", finding.source.text)]
    width = max((len(where) for where, _ in places), default=0)
    lines += [f"  {where:<{width}}   {text}".rstrip() for where, text in places]
    methods = [method for method in finding.methods if method.verdict != "does not apply"]
    if methods:
        lines += [method_line(method, finding.verdict) for method in methods]
    elif finding.comparison:
        lines.append(f"  {finding.comparison}")
    if finding.suggestions:
        lines.append(f"  passes with: {' · '.join(finding.suggestions)}")
    if finding.doubt:
        lines.append(f"  to confirm: {finding.doubt}")
    return [*lines, *_near_limit(finding)]


def _grade(finding: FindingText) -> list[str]:
    """How the text is known, and by whom; nothing where the section says it already."""
    if finding.section.startswith(finding.grade):
        return []
    reporter = f"{'; reported by ' if finding.grade == 'not read' else '; '}{finding.text_source}" if finding.text_source else ""
    return [f"            text: {finding.grade}{reporter}"]


def _near_limit(finding: FindingText) -> list[str]:
    return [f"  within 2 % of the limit: look again at {', '.join(finding.near_limit)}"] if finding.near_limit else []


def method_line(method: MethodLine, whole: str) -> str:
    """One way or part of a requirement that is judged ``whole``: what it is, its section, both numbers, its verdict."""
    head = ", ".join(part for part in (method.name or method.message, method.section) if part)
    verdict = verdict_word(way_verdict(method.verdict, whole))
    said = method.comparison or (method.message if method.name else "")
    return f"  {head}: {said} ({verdict})" if said else f"  {head} ({verdict})"
