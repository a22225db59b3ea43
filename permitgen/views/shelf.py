"""The shelf: one row for each project below a folder, and what all of them come to.

Rows stand in the order of their paths, whatever the order in which they were judged; nothing in them tells when or by whom it was done.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.views.vocabulary import verdict_word
from permitgen.views.wording import plural

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

OUTCOMES = ("done", "violations", "bad input", "not written", "fault of the program", "a document is missing")
"""What a project came to; the place in this list is the exit status that a command for this project alone would have."""
GRAVEST_FIRST = ("fault of the program", "not written", "bad input", "a document is missing", "violations", "done")
_PASSES, _VIOLATED = "passes", "violated"


@dataclass(frozen=True, slots=True)
class ShelfChange:
    """One thing that what was tried changes for a project: where it shows, what it is about, what it says."""

    part: str
    about: str
    says: str


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """One project. ``file`` is the project file and ``package`` its package, both from the folder of the shelf.

    ``outcome`` is one of ``OUTCOMES``; ``counts`` are verdicts with how many findings have them, ``gates`` how each gate stands in
    words. ``messages`` say what is violated or what stood in the way. ``documents`` are files of the package for people.
    ``changes`` and ``new_violations`` are of another edition, ordinance or hardware.
    """

    file: str
    outcome: str
    project: str = ""
    number: str = ""
    edition: str = ""
    counts: tuple[tuple[str, int], ...] = ()
    gates: tuple[str, ...] = ()
    messages: tuple[str, ...] = ()
    package: str = ""
    documents: tuple[str, ...] = ()
    changes: tuple[ShelfChange, ...] = ()
    new_violations: int = 0

    def count(self, verdict: str) -> int:
        """Return how many findings have a verdict."""
        return dict(self.counts).get(verdict, 0)


@dataclass(frozen=True, slots=True)
class Shelf:
    """All rows. ``asked`` says in words what was done, ``note`` what has to be known to read it, empty where nothing has."""

    asked: str
    rows: tuple[ShelfRow, ...]
    note: str = ""

    @property
    def compares(self) -> bool:
        """Whether each project was compared with itself under something else."""
        return bool(self.note)

    @property
    def outcomes(self) -> tuple[tuple[str, int], ...]:
        """How many projects came to what, the gravest first."""
        counted = Counter(row.outcome for row in self.rows)
        return tuple((outcome, counted[outcome]) for outcome in GRAVEST_FIRST if counted[outcome])

    @property
    def status(self) -> int:
        """The exit status: that of the project with the gravest outcome."""
        return OUTCOMES.index(self.outcomes[0][0]) if self.rows else 0


def not_revisited(*own: str) -> str:
    """Return what has to be known to read a comparison: ``own`` is what of its own each project was permitted under."""
    return f"as permitted under its own {' and '.join(own)}; nothing was revisited on site"


def shelf_of(asked: str, rows: Iterable[ShelfRow], note: str = "") -> Shelf:
    """Return the shelf with its rows in the order of their paths."""
    return Shelf(asked, tuple(sorted(rows, key=lambda row: row.file)), note)


def totals_text(shelf: Shelf) -> str:
    """Return in one line how many projects came to what."""
    found = "; ".join(f"{count} {outcome}" for outcome, count in shelf.outcomes)
    new = sum(row.new_violations for row in shelf.rows)
    changed = sum(bool(row.changes) for row in shelf.rows)
    compared = f"; something changes for {changed}, {new} new {verdict_word(_VIOLATED)}" if shelf.compares else ""
    return f"{plural(len(shelf.rows), 'project')}: {found}{compared}"


def row_text(row: ShelfRow) -> str:
    """Return a project in one line."""
    said = [f"{row.count(_VIOLATED)} {verdict_word(_VIOLATED)}", *row.gates] if row.counts else []
    if row.changes:
        said.append(f"{plural(len(row.changes), 'change')}, {row.new_violations} new {verdict_word(_VIOLATED)}")
    return f"{row.file}: {'; '.join((row.outcome, *said))}"


def verdicts_shown(rows: Sequence[ShelfRow]) -> tuple[str, ...]:
    """Return the verdicts that any row counts, those that fail first and those that pass last."""
    found = dict.fromkeys(verdict for row in rows for verdict, _count in row.counts)
    return tuple(sorted(found, key=lambda verdict: (verdict == _PASSES, verdict != _VIOLATED, verdict)))
