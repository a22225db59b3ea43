"""What is violated, numbered: the numbers stand in red on the sheets beside each thing that a violated finding names."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.views.wording import joined_tags, plural, without_book

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.system.system import System

_MOST_TOLD = 2
"""Of a requirement that fails at more subjects than these the others are named only."""


@dataclass(frozen=True, slots=True)
class Violation:
    """A requirement that is violated and not granted in writing, with its number on the sheets; ``count`` is how many findings it is.

    ``tags`` are what it names: circuits, devices, equipment, runs; ``around`` the equipment in which those stand.
    """

    number: str
    rule: str
    sentence: str
    section: str
    count: int
    tags: frozenset[str]
    around: frozenset[str]


@dataclass(frozen=True, slots=True)
class Violations:
    """All that is violated, in the order of the numbers."""

    listed: tuple[Violation, ...] = ()

    @property
    def count(self) -> int:
        """How many findings shut the gate."""
        return sum(each.count for each in self.listed)

    def at(self, tags: Iterable[str]) -> tuple[str, ...]:
        """Return the numbers of what names one of these tags."""
        wanted = frozenset(tags)
        return tuple(each.number for each in self.listed if wanted & each.tags)

    def in_or_at(self, tags: Iterable[str]) -> tuple[str, ...]:
        """Return the numbers of what names one of these tags, or something that stands in it."""
        wanted = frozenset(tags)
        return tuple(each.number for each in self.listed if wanted & (each.tags | each.around))

    def numbered(self, numbers: Iterable[str]) -> tuple[Violation, ...]:
        """Return those with these numbers."""
        wanted = frozenset(numbers)
        return tuple(each for each in self.listed if each.number in wanted)


NO_VIOLATIONS = Violations()


def violations_of(evaluation: Evaluation) -> Violations:
    """Return what shuts the gate FOR PERMIT: one number for each requirement, in the order of the findings."""
    by_rule: dict[str, list[Finding]] = {}
    for finding in evaluation.findings:
        if finding.is_open:
            by_rule.setdefault(finding.rule, []).append(finding)
    book = evaluation.given.code.edition.book
    listed = (_violation(evaluation.system, str(number), found, book) for number, found in enumerate(by_rule.values(), start=1))
    return Violations(tuple(listed))


def _violation(system: System, number: str, found: list[Finding], book: str) -> Violation:
    told = found if len(found) <= _MOST_TOLD else found[:1]
    sentence = "; ".join(dict.fromkeys(_message(finding) for finding in told))
    if len(found) > len(told):
        sentence += f"; so at {plural(len(found) - 1, 'other')}: {joined_tags(finding.subject for finding in found[1:])}"
    tags = frozenset(tag for finding in found for tag in _named(system, finding))
    around = frozenset(system.devices[tag].enclosure if tag in system.devices else tag.partition(".")[0] for tag in tags) - tags
    section = without_book(found[0].citation, book)
    return Violation(number, found[0].rule, sentence, section, len(found), tags, around)


def _message(finding: Finding) -> str:
    message = finding.judgement.message
    return message if finding.subject in message else f"{finding.subject}: {message}"


def _named(system: System, finding: Finding) -> list[str]:
    """Return the tags of a finding: its subject's; of one about a mode or the whole house, those of the things its sentence names."""
    subject = finding.subject.split("@")[0]
    if _is_thing(system, subject):
        return [subject]
    return [word for word in re.findall(r"[A-Za-z][\w.-]*\w|[A-Z]", finding.judgement.message) if _is_thing(system, word)]


def _is_thing(system: System, tag: str) -> bool:
    known = (system.equipment, system.circuits, system.raceways, system.devices, system.controls, system.loads)
    return any(tag in things for things in known) or ("." in tag and tag.partition(".")[0] in system.equipment)
