"""What is handed in, in words: names of files as a portal wants them, and the log of what was sent."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.title import DocumentTitle, title_of
from permitgen.views.wording import number_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.views.asked import AskedPoint

LOG_FILE = "submission_log.pdf"
_NOT_IN_A_NAME = re.compile(r"[^A-Za-z0-9._ -]+")
_NOTHING = "–"
_BYTES_PER_MB = 1_000_000


@dataclass(frozen=True, slots=True)
class HandedIn:
    """A file that is handed in: its name, the documents of the package in it, its size in MB, its pages (empty where it has none)."""

    name: str
    holds: str
    size: str
    pages: str


@dataclass(frozen=True, slots=True)
class SubmissionLog:
    """What is handed in now, and what was sent where and when as a person says; ``warning`` while the permit's gate is shut.

    ``asked`` is what the department asked for before and applies here.
    """

    title: DocumentTitle
    files: tuple[HandedIn, ...]
    sent: tuple[tuple[str, str, str, str, str], ...]
    warning: str = ""
    asked: tuple[AskedPoint, ...] = ()
    document_id: str = field(default="", metadata=BESIDE)


def submission_log_of(evaluation: Evaluation, files: Sequence[HandedIn], warning: str, asked: Sequence[AskedPoint]) -> SubmissionLog:
    """Return the words of the log."""
    sent = tuple((each.date, each.to, each.what, each.by or _NOTHING, each.receipt or _NOTHING) for each in evaluation.system.sent)
    applying = tuple(point for point in asked if point.found != "not asked for here")
    return with_document_id("submission log", SubmissionLog(title_of(evaluation), tuple(files), sent, warning, applying))


def size_words(count: int) -> str:
    """Return the size of a file in MB."""
    return f"{number_text(count / _BYTES_PER_MB, 'factor', decimals=2)} MB"


def file_name(evaluation: Evaluation, document: str) -> str:
    """Return the name of a file, without its ending, by the pattern of the jurisdiction; signs that portals refuse become hyphens."""
    project, wanted = evaluation.system.project, evaluation.system.jurisdiction.submission
    newest = project.revision
    parts = {
        "document": document,
        "permit_number": project.permit_number,
        "project_number": project.number,
        "revision": str(newest.number) if newest is not None else "",
        "address": project.address,
    }
    pattern = wanted.names if wanted is not None else "{document}"
    filled = re.sub(r"\{([^{}]*)\}", lambda found: parts.get(found[1], ""), pattern)
    return _NOT_IN_A_NAME.sub("-", filled).strip(" .-_")
