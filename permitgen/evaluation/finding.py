"""A finding: one rule's verdict on one subject."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.code.grade import Grade
from permitgen.rules.judgement import UNREAD, Verdict

if TYPE_CHECKING:
    from permitgen.code.watched_book import Asked
    from permitgen.evaluation.amended_verdicts import ChangedVerdict
    from permitgen.evaluation.disputed_readings import DecidedByReading
    from permitgen.rules.judgement import Judgement
    from permitgen.system.grant import Grant
    from permitgen.values.origin import ProjectLine


@dataclass(frozen=True, slots=True, eq=False)
class Finding:
    """Verdict of ``rule`` on ``subject`` (a tag). ``id`` is rule and subject, never a counter, so that it survives edits.

    ``suggestions`` are changes that were tried and pass. ``grade`` and ``source`` say how the text of the requirement is known;
    under an edition that was not read ``rests_on`` are the provisions and tables that were asked for, and ``as_reported`` is the
    judgement by what is reported alone. ``granted`` is the written grant about a verdict that is no pass; ``is_of_life_safety`` says
    that a grant opens no more than the permit. ``changed`` says which local ordinances changed the verdict, ``readings`` which disputed
    readings of the code decide it. ``open_shuts`` are the gates that it shuts where it is not judged.
    """

    rule: str
    title: str
    subject: str
    judgement: Judgement
    section: str
    citation: str
    at: ProjectLine | None
    suggestions: tuple[str, ...] = field(default=())
    grade: Grade = Grade.NOT_RECORDED
    source: str = ""
    rests_on: frozenset[Asked] = frozenset()
    as_reported: Judgement | None = None
    granted: Grant | None = None
    is_of_life_safety: bool = False
    changed: tuple[ChangedVerdict, ...] = ()
    readings: tuple[DecidedByReading, ...] = ()
    open_shuts: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """Rule and subject."""
        return f"{self.rule}:{self.subject}"

    @property
    def verdict(self) -> Verdict:
        """The verdict."""
        return self.judgement.verdict

    @property
    def is_open(self) -> bool:
        """Whether it is violated and nobody granted it in writing."""
        return self.verdict is Verdict.VIOLATED and self.granted is None

    @property
    def shuts_service(self) -> bool:
        """Whether nothing may be hung or energized by it: violated, and not granted or of life safety."""
        return self.verdict is Verdict.VIOLATED and (self.granted is None or self.is_of_life_safety)

    def open_point_shuts(self, gate: str) -> bool:
        """Whether a gate is shut because this is not judged: its provision says so, and no written grant opens that gate.

        What is open only because the text of an edition was not read here shuts nothing: what the edition before has is met.
        """
        if self.verdict is not Verdict.NOT_JUDGED or gate not in self.open_shuts:
            return False
        if self.granted is not None and not (gate == "hang" and self.is_of_life_safety):
            return False
        reported = self.as_reported
        is_met_before = reported is not None and (reported.holds or reported.verdict is Verdict.DOES_NOT_APPLY)
        return not (is_met_before and all(name.startswith(UNREAD) for name in self.judgement.missing))


OF_THE_RECORD = "practice of this record"
"""What a finding cites that no section of the code asks for."""

# Violations first, then what could not be judged, then what only deserves care.
ORDER = {Verdict.VIOLATED: 0, Verdict.NOT_JUDGED: 1, Verdict.CAUTION: 2, Verdict.PASSES: 3, Verdict.DOES_NOT_APPLY: 4}
