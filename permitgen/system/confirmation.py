"""What the authority having jurisdiction answered where readings of the code differ: the answer decides, and its paper says by whom."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmation:
    """The ``answer`` to the reading ``reading`` (a name of ``local_options``) by the person ``by`` of ``office`` on ``date``.

    ``date`` is year-month-day, ``copy`` the paper's file in the project folder.
    """

    reading: str
    answer: str
    by: str
    office: str
    date: str
    copy: str

    @property
    def words(self) -> str:
        """Who confirmed it: what a document prints where the reading decided."""
        return f"confirmed by {self.by}, {self.office}, {self.date} ({self.copy})"
