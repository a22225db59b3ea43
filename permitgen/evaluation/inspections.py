"""What the authority's inspections say: what did not pass, and whether the installation is accepted.

Accepted is what an inspection passed, of the revision whose stamped set is in the project, where nothing is violated and no safety test is
due: an inspector who passed it did not make the tests that nobody made.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.evaluation.finding import OF_THE_RECORD, Finding
from permitgen.rules.judgement import Judgement, Verdict

if TYPE_CHECKING:
    from permitgen.system.approval import FailedItem, Inspection
    from permitgen.values.origin import ProjectLine


@dataclass(frozen=True, slots=True)
class WorkItem:
    """What is to be put right, or was and has not been seen since: the item of the card with the inspection that found it."""

    item: FailedItem
    inspection: Inspection

    @property
    def is_corrected(self) -> bool:
        """Whether somebody says that it was put right."""
        return bool(self.item.corrected_on)


@dataclass(frozen=True, slots=True)
class Inspected:
    """The list of work, findings about it, and the day of the inspection that passed (empty: none did, or one failed since)."""

    work: tuple[WorkItem, ...] = ()
    findings: tuple[Finding, ...] = ()
    passed_on: str = ""
    at: ProjectLine | None = None


def inspected(inspections: tuple[Inspection, ...]) -> Inspected:
    """Return what stands after all inspections, which are in the order of their days: one that passed closes those before it."""
    last = next((index for index in reversed(range(len(inspections))) if inspections[index].passed), -1)
    since = inspections[last + 1 :]
    work = tuple(WorkItem(item, inspection) for inspection in since for item in inspection.failed)
    passed = inspections[last] if last >= 0 and not since else None
    day, at = (passed.date, passed.at) if passed is not None else ("", None)
    return Inspected(work, tuple(_of_work(work)), day, at)


def _of_work(work: tuple[WorkItem, ...]) -> Iterator[Finding]:
    for each in work:
        # What the inspector wrote is not repeated: findings are read by everybody.
        found = f"{each.item.item}: did not pass the inspection of {each.inspection.date}"
        said = f"{found}; put right {each.item.corrected_on}, not inspected since" if each.is_corrected else found
        verdict = Verdict.CAUTION if each.is_corrected else Verdict.VIOLATED
        yield finding("inspection-item", "What the inspector found is put right", each.item.item, verdict, said, each.item.at)


def finding(rule: str, title: str, subject: str, verdict: Verdict, said: str, at: ProjectLine | None) -> Finding:
    """Return a finding about an inspection."""
    return Finding(rule, title, subject, Judgement(verdict, said), "", OF_THE_RECORD, at)


def not_accepted(result: Inspected, why: str) -> Finding:
    """Return that an inspection passed and the installation is not accepted all the same."""
    said = f"the inspection of {result.passed_on} passed; not accepted: {why}"
    return finding("inspection-passed", "What passed the inspection is accepted", result.passed_on, Verdict.CAUTION, said, result.at)
