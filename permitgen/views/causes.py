"""Causes in place of symptoms: findings that one value, one remedy or one demand stands behind are told once, with their subjects."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.views.finding_roots import is_choice

if TYPE_CHECKING:
    from permitgen.views.findings import FindingText, Place

_TOLD = ("violated", "caution")


@dataclass(frozen=True, slots=True)
class Cause:
    """Findings of one verdict and state with one cause; the first leads. ``id`` is the leading finding's, and so survives edits."""

    findings: tuple[FindingText, ...]

    @property
    def lead(self) -> FindingText:
        """The finding whose numbers and message tell the cause."""
        return self.findings[0]

    @property
    def id(self) -> str:
        """Rule and subject of the leading finding, and the state where it is not the permitted one."""
        return self.lead.id if self.lead.state == "permitted" else f"{self.lead.id} ({self.lead.state})"

    @property
    def subjects(self) -> dict[str, tuple[str, ...]]:
        """The subjects by rule, the leading rule first."""
        found: dict[str, list[str]] = {}
        for finding in self.findings:
            found.setdefault(finding.rule, []).append(finding.subject)
        return {rule: tuple(subjects) for rule, subjects in found.items()}

    @property
    def suggestions(self) -> tuple[str, ...]:
        """The changes that were tried and with which every finding of the cause passes; none where they do not share one."""
        each = [finding.suggestions for finding in self.findings]
        return tuple(change for change in dict.fromkeys(each[0]) if all(change in others for others in each))

    @property
    def partial(self) -> dict[str, tuple[str, ...]]:
        """The changes with which one finding of several passes, by finding id, where no change mends all of them."""
        return {} if self.suggestions else {f.id: f.suggestions for f in self.findings if f.suggestions}

    @property
    def edits(self) -> tuple[Place, ...]:
        """The lines to edit, each once: the leading finding's where a change to its subject was tried, else those named most often."""
        telling = self.findings[:1] if self.suggestions else self.findings
        named = Counter((edit.file, edit.line, edit.text) for finding in telling for edit in finding.edits)
        each = {(edit.file, edit.line, edit.text): edit for finding in telling for edit in finding.edits}
        return tuple(each[place] for place, _ in named.most_common())


def causes_of(findings: Sequence[FindingText]) -> tuple[Cause, ...]:
    """Return what is violated or deserves care, by cause; each such finding stands in exactly one, causes in the order of their leads.

    Findings share a cause where verdict, state and grant agree and they name the same line of a choice, pass with the same change, miss one
    computed demand, or are one rule's with one message but for the subject.
    """
    told = [finding for finding in findings if finding.verdict in _TOLD]
    group = list(range(len(told)))
    first: dict[tuple[str, ...], int] = {}
    for index, finding in enumerate(told):
        for key in _keys(finding):
            _join(group, first.setdefault((finding.verdict, finding.state, finding.granted, *key), index), index)
    members: dict[int, list[FindingText]] = defaultdict(list)
    for index, finding in enumerate(told):
        members[_root(group, index)].append(finding)
    return tuple(Cause(tuple(found)) for found in members.values())


def cause_ids(causes: Iterable[Cause]) -> dict[tuple[str, str], str]:
    """Return the id of the cause of each finding, by state and id of the finding."""
    return {(finding.state, finding.id): cause.id for cause in causes for finding in cause.findings}


def _keys(finding: FindingText) -> Iterator[tuple[str, ...]]:
    yield ("message", finding.rule, finding.section, finding.message.replace(finding.subject, ""))
    if finding.demanded:
        yield ("demand", finding.demanded)
    if finding.suggestions:
        yield ("remedy", finding.suggestions[0])
    for edit in finding.edits:
        key = edit.words.partition(":")[0]
        if is_choice(key):
            yield ("line", edit.file, key)


def _root(group: list[int], index: int) -> int:
    while group[index] != index:
        index = group[index]
    return index


def _join(group: list[int], one: int, other: int) -> None:
    """Put two findings into one group, led by the earlier of them."""
    first, second = sorted((_root(group, one), _root(group, other)))
    group[second] = first
