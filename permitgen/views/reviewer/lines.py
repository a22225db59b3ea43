"""Findings as rows: subjects of one outcome share a row, and what passes without numbers is told in one paragraph."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import count
from typing import TYPE_CHECKING

from permitgen.code.grade import Grade
from permitgen.rules.judgement import Verdict
from permitgen.views.findings import finding_text, way_verdict
from permitgen.views.reviewer.parts import AlsoMet, CheckLine
from permitgen.views.wording import GOOD_PRACTICE, joined_tags, with_numbers_held, without_book

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Iterator

    from permitgen.evaluation.finding import Finding
    from permitgen.views.findings import FindingText, MethodLine


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of findings: those with numbers or not met, and what passes without."""

    lines: tuple[CheckLine, ...]
    also: tuple[AlsoMet, ...]


def without_tag(message: str, subject: str) -> str:
    """Return a message without the subject in front of it (``C7: …``, ``C7@MSP.2: …``, ``MID is listed …``)."""
    tag = subject.partition("@")[0]
    for head in (f"{subject}: ", f"{tag}: ", f"{subject} ", f"{tag} "):
        if message.startswith(head):
            return message.removeprefix(head)
    return message


def short_section(section: str, book: str) -> str:
    """Return a section without the name of the edition, which the page names; what no book asks for is good practice."""
    shown = without_book(section, book)
    return GOOD_PRACTICE if shown.startswith("common practice") else with_numbers_held(shown)


def said_of(finding: Finding, text: FindingText) -> str:
    """Return what a finding says, without its subject; whether this program knows a text of the code is nothing to a reviewer."""
    if finding.judgement.is_of_unread_text:
        return f"{text.title}: not checked, to be checked against the adopted text"
    said = without_tag(text.message, text.subject)
    return f"{text.title}: {said}" if finding.verdict is Verdict.NOT_JUDGED else said


def is_to_confirm(finding: Finding) -> bool:
    """Whether a finding rests on a reading of the code that the authority is to confirm."""
    return bool(finding.judgement.doubt) or finding.grade is Grade.REPORTED


def rows_of(
    findings: Iterable[Finding],
    book: str,
    prefix: str,
    *,
    by_method: Container[str] = (),
    by_part: Container[str] = (),
    is_titled: bool = False,
) -> Rows:
    """Return the findings as rows; those of rules in ``by_method`` with every way and both numbers of each, of ``by_part`` part by part.

    ``is_titled`` says the requirement in front of what is found.
    """
    numbers = count(1)
    lines: list[CheckLine] = []
    also: list[AlsoMet] = []
    unused: dict[tuple[str, str], list[str]] = {}
    for group in _alike((each for finding in findings for each in _parts(finding, by_part)), book):
        first, finding = group[0][1], group[0][0]
        subject, text = joined_tags([each.subject for _, each in group]), said_of(finding, first)
        text = f"{first.title}: {text}" if is_titled and not text.startswith(first.title) else text
        section, to_confirm = short_section(first.section, book), any(is_to_confirm(each) for each, _ in group)
        ways = finding.rule in by_method and len(first.methods) > 1
        if finding.verdict is Verdict.PASSES and not first.comparison and not ways:
            also.append(AlsoMet(finding.rule, subject, text, section, to_confirm))
            continue
        compared = (first.computed, first.relation, first.limit) if first.comparison else ("", "", "")
        if not ways or finding.verdict is not Verdict.PASSES:
            key = f"{prefix}_{next(numbers)}"
            lines.append(CheckLine(key, subject, text, *compared, section, first.verdict, (finding.rule,), to_confirm=to_confirm))
        if ways:
            lines += _ways(subject, first, book, prefix, numbers, to_confirm=to_confirm)
            unused.setdefault((finding.rule, _unused(first)), []).extend(each.subject for _, each in group)
    for (rule, text), subjects in unused.items():
        if text:
            key, verdict = f"{prefix}_{next(numbers)}", str(Verdict.DOES_NOT_APPLY)
            lines.append(CheckLine(key, joined_tags(subjects), text, "", "", "", "", verdict, (rule,), is_part=True))
    return Rows(tuple(lines), tuple(also))


def _parts(finding: Finding, by_part: Container[str]) -> Iterator[Finding]:
    """Yield a finding for each part of a requirement that is several tests, so that no sentence of one stands before numbers of another."""
    judgement = finding.judgement
    if finding.rule not in by_part or judgement.combined != "all":
        yield finding
        return
    for part in judgement.parts:
        if part.verdict is not Verdict.DOES_NOT_APPLY:
            section = part.section or finding.section
            citation = finding.citation.replace(finding.section, section)
            tag = part.message.partition(": ")[0]
            subject = tag if tag != part.message and " " not in tag else finding.subject
            yield replace(finding, subject=subject, judgement=part, section=section, citation=citation)


def _alike(findings: Iterable[Finding], book: str) -> Iterator[list[tuple[Finding, FindingText]]]:
    """Yield findings of one rule that say the same of several subjects together, in their order."""
    groups: dict[tuple[str, ...], list[tuple[Finding, FindingText]]] = {}
    for finding in findings:
        text = finding_text(finding, book)
        groups.setdefault((finding.rule, said_of(finding, text), text.comparison, text.section, text.verdict), []).append((finding, text))
    yield from groups.values()


def _ways(subject: str, finding: FindingText, book: str, prefix: str, numbers: Iterator[int], *, to_confirm: bool) -> Iterator[CheckLine]:
    """Yield a row for each way that was tried; where the requirement is met these rows are all, and the first names the subject."""
    is_met = finding.verdict == str(Verdict.PASSES)
    shown = subject if is_met else ""
    for way in finding.methods:
        if way.verdict == str(Verdict.DOES_NOT_APPLY):
            continue
        verdict = way_verdict(way.verdict, finding.verdict)
        compared = (way.computed, way.relation, way.limit)
        section = short_section(way.section, book)
        key = f"{prefix}_{next(numbers)}"
        rules, marked = (finding.rule, way.name), to_confirm and bool(shown)
        yield CheckLine(key, shown, _way_text(way, finding.subject), *compared, section, verdict, rules, not is_met, marked)
        shown = ""


def _unused(finding: FindingText) -> str:
    """Return why the other ways do not apply."""
    return "; ".join(dict.fromkeys(way.message for way in finding.methods if way.verdict == str(Verdict.DOES_NOT_APPLY)))


def _way_text(way: MethodLine, subject: str) -> str:
    """Return the name of a way, and what is said of it where no numbers do."""
    said = without_tag(way.message, subject)
    return way.name if way.name and (way.computed or not said) else f"{way.name}: {said}" if way.name else said
