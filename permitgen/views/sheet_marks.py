"""What is marked on the sheets: what the newest revision changed, and what is violated."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.views.revision_clouds import NO_CLOUDS, RevisionClouds
from permitgen.views.violations import NO_VIOLATIONS, Violations

if TYPE_CHECKING:
    from permitgen.views.schedules import Schedule


@dataclass(frozen=True, slots=True)
class SheetMarks:
    """Both kinds of clouds."""

    clouds: RevisionClouds = NO_CLOUDS
    violations: Violations = NO_VIOLATIONS

    def faults_of_row(self, schedule: Schedule, index: int) -> tuple[str, ...]:
        """Return the numbers of the violations that name what a row of a schedule tells of."""
        return self.violations.at(schedule.tags[index]) if schedule.tags else ()

    def faults_of(self, schedule: Schedule) -> frozenset[str]:
        """Return the numbers of all violations that rows of a schedule show."""
        return frozenset(number for index in range(len(schedule.rows)) for number in self.faults_of_row(schedule, index))


NO_MARKS = SheetMarks()
