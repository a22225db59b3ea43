"""What the authority having jurisdiction granted in writing: it changes no verdict, it says who answers for one."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Grant:
    """A written grant about ``subject`` (as findings name it): of the rule ``rule``, or of what cites ``section``, one of the two.

    ``what`` is granted by the person ``by`` of ``office`` on ``date`` (year-month-day); ``copy`` is the paper's file in the project folder.
    """

    subject: str
    what: str
    by: str
    office: str
    date: str
    copy: str
    rule: str = ""
    section: str = ""

    @property
    def of(self) -> str:
        """The rule or section that it is about."""
        return self.rule or self.section

    @property
    def words(self) -> str:
        """Who granted what: what a document prints beside the verdict, which stays."""
        return f"granted by {self.by}, {self.office}, {self.date}: {self.what} ({self.copy})"
