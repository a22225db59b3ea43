"""A finding: one rule's verdict on one subject."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict

if TYPE_CHECKING:
    from permitgen.rules.judgement import Judgement
    from permitgen.values.origin import ProjectLine


@dataclass(frozen=True, slots=True, eq=False)
class Finding:
    """Verdict of ``rule`` on ``subject`` (a tag). ``id`` is rule and subject, never a counter, so that it survives edits.

    ``suggestions`` are changes that were tried and pass.
    """

    rule: str
    title: str
    subject: str
    judgement: Judgement
    section: str
    citation: str
    at: ProjectLine | None
    suggestions: tuple[str, ...] = field(default=())

    @property
    def id(self) -> str:
        """Rule and subject."""
        return f"{self.rule}:{self.subject}"

    @property
    def verdict(self) -> Verdict:
        """The verdict."""
        return self.judgement.verdict


# Violations first, then what could not be judged, then what only deserves care.
ORDER = {Verdict.VIOLATED: 0, Verdict.NOT_JUDGED: 1, Verdict.CAUTION: 2, Verdict.PASSES: 3, Verdict.DOES_NOT_APPLY: 4}
