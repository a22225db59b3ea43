"""What was approved, in words: said only where the stamped set is in the project."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.views.findings import OPEN
from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.project_facts import ProjectFacts


def approved_text(project: ProjectFacts) -> str:
    """Return which revision was approved, when, by which office and under which permit; empty where none was.

    Who signed for the office is a person, and stands in private documents only.
    """
    revision = project.approved_revision
    if revision is None or revision.approved is None:
        return ""
    approved = revision.approved
    number = approved.permit_number or project.permit_number
    permit = f", permit {number}" if number else ""
    return f"Revision {revision.number} approved {approved.date}{f' by {approved.office}' if approved.office else ''}{permit}"


def approval_lines(evaluation: Evaluation) -> tuple[str, ...]:
    """Return what differs from what was approved, for the cover; nothing where nothing does."""
    return tuple(f"{verdict_word(str(f.verdict))}: {f.judgement.message}" for f in evaluation.approval if f.verdict in OPEN)
