"""What was approved, in words: said only where the stamped set is in the project."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.project_facts import ProjectFacts

_OPEN = (Verdict.VIOLATED, Verdict.NOT_JUDGED, Verdict.CAUTION)


def approved_text(project: ProjectFacts, *, is_public: bool) -> str:
    """Return which revision was approved, when, by whom and under which permit; empty where none was.

    In public the office stands alone: who signed for it is a person.
    """
    revision = project.approved_revision
    if revision is None or revision.approved is None:
        return ""
    approved = revision.approved
    who = ", ".join(part for part in ("" if is_public else approved.by, approved.office) if part)
    number = approved.permit_number or project.permit_number
    permit = f", permit {number}" if number else ""
    return f"Revision {revision.number} approved {approved.date}{f' by {who}' if who else ''}{permit}"


def approval_lines(evaluation: Evaluation) -> tuple[str, ...]:
    """Return what was approved, for the cover, then what differs from it; nothing where nothing was approved."""
    said = approved_text(evaluation.system.project, is_public=False)
    open_points = (f for f in evaluation.approval if f.verdict in _OPEN)
    lines = (f"{verdict_word(str(f.verdict))}: {f.judgement.message}" for f in open_points)
    return (*([said] if said else []), *lines)
