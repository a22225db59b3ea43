"""Lays written grants over findings: the verdict stays what it is and says by whom it was granted, which never makes a pass.

NEC 90.4 leaves it to the authority having jurisdiction to waive a requirement by special permission, which Article 100 defines as
written consent. What shuts a source down, disconnects it, bonds, interrupts a fault or keeps storage from openings and sleepers
protects people who never see the paper: a grant of it goes to the permit, and opens no gate behind that.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict

if TYPE_CHECKING:
    from permitgen.evaluation.finding import Finding
    from permitgen.rules.rule import Rule
    from permitgen.system.grant import Grant

_GRANTED = (Verdict.VIOLATED, Verdict.NOT_JUDGED, Verdict.CAUTION)
# Subjects whose rules are all of this kind, and the words by which a rule of another subject is told to be.
_FOLDERS = frozenset({"rapid_shutdown", "disconnects", "fault_current"})
_WORDS = frozenset({"shutdown", "stop", "disconnect", "bond", "bonding", "jumper", "jumpers", "interrupting"})
_STORAGE_SITING = "storage-"


def with_grants(finding: Finding, grants: Iterable[Grant]) -> Finding:
    """Return a finding with the grant that is about it, which its message names; what passes needs none."""
    grant = next((each for each in grants if is_about(each, finding)), None)
    if grant is None or finding.verdict not in _GRANTED:
        return finding
    return replace(finding, granted=grant, judgement=replace(finding.judgement, message=f"{finding.judgement.message}; {grant.words}"))


def is_about(grant: Grant, finding: Finding) -> bool:
    """Whether a grant names the subject of a finding, and its rule or the section that it cites (with its book or without)."""
    if grant.subject != finding.subject:
        return False
    return grant.rule == finding.rule if grant.rule else grant.section in (finding.section, finding.citation)


def is_of_life_safety(rule: Rule) -> bool:
    """Whether a rule is about shutdown, disconnects, bonds, what interrupts a fault, or the place of storage."""
    folder = rule.module.rsplit(".", 2)[1]
    sited = folder == "clearances" and rule.id.startswith(_STORAGE_SITING)
    return folder in _FOLDERS or sited or not _WORDS.isdisjoint(rule.id.split("-"))
