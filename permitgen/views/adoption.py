"""What an edition that was not read changes for one project: the sheet for the day on which a jurisdiction adopts it.

Every line says how it is known and by whom. What is reported is held against the edition before; what was not read is counted, with
the result of the edition before.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.grade import Grade
from permitgen.rules.judgement import Verdict
from permitgen.views.findings import OPEN, numbers_of, shown_relation
from permitgen.views.label_set import label_set_of
from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from permitgen.code.provision import Provision
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.evaluation.sizing import Sizing
    from permitgen.rules.judgement import Judgement
    from permitgen.views.label import LabelView

_NUMBER = re.compile(r"\d+\.\d+|Article \d+")
_ARTICLE = re.compile(r"(?:Table |Article )?(\d{3})\b|(Chapter 9)")


@dataclass(frozen=True, slots=True)
class AdoptionLine:
    """One line: what it is about, what it says, how that is known and by whom."""

    about: str
    says: str
    grade: str
    source: str


@dataclass(frozen=True, slots=True)
class AdoptionSheet:
    """The sheet. ``counts`` are sentences; ``unread`` counts by article what was not read, ``open_before`` names of it what is not met."""

    before: str
    after: str
    project: str
    counts: tuple[str, ...]
    results: tuple[AdoptionLine, ...]
    changed: tuple[AdoptionLine, ...]
    sizes: tuple[AdoptionLine, ...]
    relaxed: tuple[AdoptionLine, ...]
    by_hand: tuple[AdoptionLine, ...]
    moved: tuple[AdoptionLine, ...]
    labels: tuple[AdoptionLine, ...]
    unread: tuple[AdoptionLine, ...]
    open_before: tuple[AdoptionLine, ...]
    new_violations: int


def adoption_sheet_of(before: Evaluation, after: Evaluation, sizes_as_reported: Sequence[Sizing]) -> AdoptionSheet:
    """Return the sheet from ``before`` to ``after``, whose edition was not read."""
    applying = [finding for finding in after.findings if _applies(finding)]
    reports = _reports(after)
    touched = {asked.name for finding in applying for asked in finding.rests_on}
    looked_at = {asked.name for finding in after.findings for asked in finding.rests_on}
    about = [found for found in reports if found.id in touched or found.id not in looked_at]
    changed = [finding for finding in after.findings if _is_changed(finding, before)]
    violated = {finding.id for finding in before.findings if finding.verdict is Verdict.VIOLATED}
    return AdoptionSheet(
        before=before.given.code.edition.book,
        after=after.given.code.edition.book,
        project=after.system.project.name,
        counts=tuple(_counts(applying, after.given.code.edition.book)),
        results=tuple(_results(changed, before, after)),
        changed=tuple(_changed(applying, changed, after)),
        sizes=tuple(_sizes(before, sizes_as_reported)),
        relaxed=tuple(_line(found, found.relaxes, before) for found in about if found.relaxes),
        by_hand=tuple(_line(found, found.reports, before) for found in about if found.grade is Grade.NOT_READ and found.reports),
        moved=tuple(_moved(before, (found for found in reports if found.id in touched))),
        labels=tuple(_labels(before, after)),
        unread=tuple(_unread(applying, before)),
        open_before=tuple(_open_before(applying, before)),
        new_violations=sum(f.verdict is Verdict.VIOLATED and f.id not in violated for f in after.findings),
    )


def _applies(finding: Finding) -> bool:
    reported = finding.as_reported
    return finding.verdict is not Verdict.DOES_NOT_APPLY or (reported is not None and reported.verdict is not Verdict.DOES_NOT_APPLY)


def _reports(after: Evaluation) -> list[Provision]:
    """Return the provisions of which anything is reported, in the order of their numbers."""
    code = after.given.code
    found = (code.provision(name) for name in code.provision_ids)
    return sorted((each for each in found if each.book == code.edition.book and each.source), key=lambda each: (each.section, each.id))


def _counts(applying: Sequence[Finding], book: str) -> Iterator[str]:
    unread = [finding for finding in applying if finding.grade is Grade.NOT_READ]
    judged = [finding for finding in applying if finding.citation.startswith(book) and finding.grade is Grade.REPORTED]
    yield f"{len(applying)} requirements apply. Of {book}: {_verdicts(judged) or 'none'} by what is reported; {len(unread)} not read."
    yield f"{len(applying) - len(judged) - len(unread)} rest on other books, product standards or practice and do not change."


def _verdicts(findings: Sequence[Finding]) -> str:
    counted = Counter(str(finding.verdict) for finding in findings)
    return ", ".join(f"{counted[str(verdict)]} {verdict_word(str(verdict))}" for verdict in Verdict if counted[str(verdict)])


def _is_changed(finding: Finding, before: Evaluation) -> bool:
    """Whether what is reported gives another verdict, or another figure, than the edition before."""
    was, now = before.by_id.get(finding.id), finding.as_reported
    return was is not None and now is not None and _shown(was.judgement) != _shown(now)


def _shown(judgement: Judgement) -> str:
    """A verdict with its two numbers, or with nothing where it compares none."""
    computed, limit = numbers_of(judgement)
    figures = f"{computed} {shown_relation(judgement)} {limit}, " if computed and limit else ""
    return f"{figures}{verdict_word(str(judgement.verdict))}"


def _results(changed: Sequence[Finding], before: Evaluation, after: Evaluation) -> Iterator[AdoptionLine]:
    """Yield what is reported to come out otherwise, subjects with the same figures together; a violation before a mere figure."""
    alike: dict[tuple[str, str], list[Finding]] = {}
    for finding in sorted(changed, key=lambda found: found.verdict is not Verdict.VIOLATED):
        was, now = before.by_id[finding.id].judgement, finding.as_reported
        reported = _shown(now) if now is not None else ""
        under = f"{after.given.code.edition.value} {verdict_word(str(finding.verdict))}"
        says = f"{before.given.code.edition.value} {_shown(was)}; as reported {reported}; {under}"
        alike.setdefault((finding.title, says), []).append(finding)
    for (title, says), found in alike.items():
        asked = _deciding(found[0], before, after)
        sections = ", ".join(dict.fromkeys(_short(each, after) for each in asked))
        sources = "; ".join(dict.fromkeys(each.source for each in asked if each.source))
        subjects = ", ".join(finding.subject for finding in found)
        yield AdoptionLine(f"{subjects}: {title}", f"{says}{f' (by {sections})' if sections else ''}", str(found[0].grade), sources)


def _deciding(finding: Finding, before: Evaluation, after: Evaluation) -> list[Provision]:
    """Return what makes a finding come out otherwise: what is reported to be changed, else what changed by the edition read last."""
    reported = [each for each in _asked(finding, after) if each.is_reported and each.fields]
    if reported:
        return reported
    read, was = after.given.code.last_read, before.given.code
    since = [(read.provision(each.id), was.provision(each.id)) for each in _asked(finding, after)]
    return [now for now, then in since if now.is_in_force and (then.status, then.fields) != (now.status, now.fields)]


def _short(provision: Provision, after: Evaluation) -> str:
    """Return a section; with its book where it is that of an edition before."""
    return provision.section if provision.book == after.given.code.edition.book else provision.citation


def _changed(applying: Sequence[Finding], changed: Sequence[Finding], after: Evaluation) -> Iterator[AdoptionLine]:
    """Yield each requirement that is reported to be changed and concerns the project, with whom it gives another result."""
    code = after.given.code
    named = dict.fromkeys(asked.name for finding in applying for asked in sorted(finding.rests_on) if asked.kind == "provision")
    for found in (code.provision(name) for name in named):
        if found.is_reported and found.fields:
            other = any(found.id == each.id for finding in changed for each in _asked(finding, after))
            says = f"{found.reports or found.says}; {'another figure above' if other else 'the same result here'}"
            yield AdoptionLine(found.section, says, str(found.grade), found.source)


def _asked(finding: Finding, after: Evaluation) -> list[Provision]:
    return [after.given.code.provision(asked.name) for asked in sorted(finding.rests_on) if asked.kind == "provision"]


def _sizes(before: Evaluation, reported: Sequence[Sizing]) -> Iterator[AdoptionLine]:
    chosen = {(each.tag, each.what): each.chosen for each in before.sizings}
    for each in reported:
        was = chosen.get((each.tag, each.what), "")
        if was != each.chosen:
            says = f"{was or 'none'} by {before.given.code.edition.book}, {each.chosen or 'none'} as reported"
            yield AdoptionLine(f"{each.tag}: {each.what}", says, str(Grade.REPORTED), each.reason)


def _line(found: Provision, says: str, before: Evaluation) -> AdoptionLine:
    was = before.given.code.provision(found.id)
    about = found.section or (was.citation if was.is_in_force else found.says)
    return AdoptionLine(about, says, str(found.grade), found.source)


def _moved(before: Evaluation, touched: Iterable[Provision]) -> Iterator[AdoptionLine]:
    """Yield the sections that have another number than before, together where one source says them and they are known alike."""
    groups: dict[tuple[str, str], list[str]] = {}
    for found in touched:
        was = before.given.code.provision(found.id)
        if found.section and was.is_in_force and not set(_NUMBER.findall(found.section)) & set(_NUMBER.findall(was.section)):
            groups.setdefault((str(found.grade), found.source), []).append(f"{was.section} → {found.section}")
    for (grade, source), pairs in groups.items():
        yield AdoptionLine("; ".join(dict.fromkeys(pairs)), "", f"number {Grade.REPORTED}, text {grade}", source)


def _labels(before: Evaluation, after: Evaluation) -> Iterator[AdoptionLine]:
    old, new = _labels_by_place(before), _labels_by_place(after)
    book = after.given.code.edition.book
    for key in dict.fromkeys((*old, *new)):
        was, now = old.get(key), new.get(key)
        if was is None or now is None:
            says = f"due under {before.given.code.edition.book}, not decided under {book}" if now is None else f"due under {book} only"
            yield AdoptionLine(f"{key[1]}, {(was or now or new[key]).name}", says, str(Grade.NOT_READ), "")
        elif _words(was) != _words(now):
            yield AdoptionLine(f"{key[1]}, {was.name}", f"{_words(was)}; then {_words(now)}", str(Grade.NOT_READ), "")
    unseen = sum(bool(label.doubts) for label in new.values())
    says = f"with the words of the edition before, for those of {book} were not seen"
    yield AdoptionLine(f"{unseen} of {len(new)} labels", says, str(Grade.NOT_READ), "")


def _labels_by_place(evaluation: Evaluation) -> Mapping[tuple[str, str], LabelView]:
    return {(label.id, label.tag): label for label in label_set_of(evaluation).labels}


def _words(label: LabelView) -> str:
    return " ".join(line.text for panel in label.panels for line in panel.lines)


def _unread(applying: Sequence[Finding], before: Evaluation) -> Iterator[AdoptionLine]:
    """Yield one line an article: how many requirements of it were not read, and how they stand under the edition before."""
    articles: dict[str, list[Finding]] = {}
    for finding in applying:
        was = before.by_id.get(finding.id)
        if finding.grade is Grade.NOT_READ and was is not None:
            articles.setdefault(_article(was), []).append(was)
    for article in sorted(articles):
        yield AdoptionLine(article, _verdicts(articles[article]), str(Grade.NOT_READ), "")


def _article(finding: Finding) -> str:
    found = _ARTICLE.match(finding.judgement.section)
    return (found[1] or found[2]) if found is not None else "practice that rests on sections"


def _open_before(applying: Sequence[Finding], before: Evaluation) -> Iterator[AdoptionLine]:
    for finding in applying:
        was = before.by_id.get(finding.id)
        if finding.grade is Grade.NOT_READ and was is not None and was.verdict in OPEN:
            yield AdoptionLine(f"{verdict_word(str(was.verdict))} {was.citation}", was.judgement.message, str(Grade.NOT_READ), "")
