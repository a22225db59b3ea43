"""Checks what a project's grants name: a rule, a section, a subject that a finding has, and the copy of the paper."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.evaluation.granting import is_about
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.referenced_file import ReferencedFileError, content_inside
from permitgen.rules.rule import all_rules

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.project.load import LoadedProject
    from permitgen.system.grant import Grant

_MOST_BYTES = 20_000_000
_MOST_NAMED = 12


def copies_of_grants(loaded: LoadedProject) -> dict[str, bytes]:
    """Return the bytes of the copy of each grant and of each confirmed reading, by its name in the project folder.

    Raises:
        ProblemsError: a copy is missing, is no plain file, or is larger than is read.
    """
    copies: dict[str, bytes] = {}
    problems: list[Problem] = []
    jurisdiction = loaded.system.jurisdiction
    papers = {"granted": [each.copy for each in jurisdiction.granted], "confirmed": [each.copy for each in jurisdiction.confirmed]}
    for key, index, copy in ((key, index, copy) for key, names in papers.items() for index, copy in enumerate(names)):
        try:
            copies[copy] = content_inside(loaded.folder, copy, _MOST_BYTES)
        except ReferencedFileError as error:
            problems.append(loaded.file.problem(("jurisdiction", key, index, "copy"), str(error)))
    if problems:
        raise ProblemsError(problems)
    return copies


def grant_problems(opened: OpenedProject, *, is_own_edition: bool) -> list[Problem]:
    """Return every grant that is about no finding; sections are those of the project's own edition."""
    granted = opened.loaded.system.jurisdiction.granted
    return [problem for index, grant in enumerate(granted) if grant.rule or is_own_edition for problem in _problems(opened, index, grant)]


def _problems(opened: OpenedProject, index: int, grant: Grant) -> Iterator[Problem]:
    findings = opened.evaluation.findings
    if any(is_about(grant, finding) for finding in findings):
        return
    where = ("jurisdiction", "granted", index)
    file = opened.loaded.file
    rules = [rule.id for rule in all_rules()]
    if grant.rule and grant.rule not in rules:
        yield file.problem((*where, "rule"), f'no rule is called "{grant.rule}"{did_you_mean(grant.rule, rules)}')
        return
    subjects = list(dict.fromkeys(finding.subject for finding in findings if not grant.rule or finding.rule == grant.rule))
    if grant.subject not in subjects:
        of = f" of {grant.rule}" if grant.rule else ""
        hint = did_you_mean(grant.subject, subjects) or _named("subjects", subjects)
        yield file.problem((*where, "subject"), f'no finding{of} is about "{grant.subject}"{hint}')
        return
    sections = list(dict.fromkeys(finding.section for finding in findings if finding.subject == grant.subject and finding.section))
    hint = did_you_mean(grant.section, sections) or _named("sections", sections)
    yield file.problem((*where, "section"), f'no finding about {grant.subject} cites "{grant.section}"{hint}')


def _named(what: str, names: list[str]) -> str:
    shown = ", ".join(names[:_MOST_NAMED])
    return f"; {what}: {shown}{', …' if len(names) > _MOST_NAMED else ''}" if names else "; there is none"
