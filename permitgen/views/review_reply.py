"""The reply to the plan review: each comment of the reviewer with the answer to it and the sheet where the change stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.plan_sheets import sheet_title
from permitgen.views.title import DocumentTitle, title_of
from permitgen.views.vocabulary import state_word
from permitgen.views.wording import plural

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.project_facts import ReviewComment

NOT_ANSWERED = "not answered yet"
NOT_STATED = "not stated"
_NO_SHEET = "–"


@dataclass(frozen=True, slots=True)
class ReviewAnswer:
    """One row of the reply. ``answer`` is the words for a missing answer where ``is_answered`` is false; ``sheet_title`` may be empty."""

    number: str
    comment: str
    by: str
    answer: str
    is_answered: bool
    sheet: str
    sheet_title: str


@dataclass(frozen=True, slots=True)
class ReviewReply:
    """The words of the reply. ``standing`` counts what is answered."""

    title: DocumentTitle
    jurisdiction: str
    authority: str
    standing: str
    answers: tuple[ReviewAnswer, ...]
    document_id: str = field(default="", metadata=BESIDE)

    @property
    def unanswered(self) -> int:
        """How many comments have no answer."""
        return sum(not answer.is_answered for answer in self.answers)

    @property
    def facts(self) -> tuple[tuple[str, str], ...]:
        """Names and values of the title block; a fact that the project does not state says so."""
        title = self.title
        facts = (
            ("Project", title.project),
            ("Project number", title.number),
            ("Address", title.address),
            ("Permit number", title.permit_number),
            ("Jurisdiction", self.jurisdiction),
            ("Authority", self.authority),
            ("Code", title.edition),
            ("Contractor", title.contractor),
            ("Revision", title.revision),
            ("Date of the revision", title.revision_date),
            ("Based on", state_word(title.state)),
            ("Document ID", self.document_id),
        )
        return tuple((name, value or NOT_STATED) for name, value in facts)


def review_reply_of(evaluation: Evaluation) -> ReviewReply | None:
    """Return the reply to the comments in the project file; None where there are none."""
    comments = evaluation.system.review_comments
    if not comments:
        return None
    jurisdiction = evaluation.system.jurisdiction
    answers = tuple(_answer(number, comment, evaluation) for number, comment in enumerate(comments, start=1))
    reply = ReviewReply(title_of(evaluation), jurisdiction.name, jurisdiction.authority, _standing(answers), answers)
    return with_document_id("reply to the plan review", reply)


def _answer(number: int, comment: ReviewComment, evaluation: Evaluation) -> ReviewAnswer:
    answer, sheet = comment.answer.strip(), comment.sheet.strip()
    return ReviewAnswer(
        number=str(number),
        comment=comment.comment,
        by=comment.by.strip(),
        answer=answer or NOT_ANSWERED,
        is_answered=bool(answer),
        sheet=sheet or _NO_SHEET,
        sheet_title=sheet_title(evaluation, sheet),
    )


def _standing(answers: tuple[ReviewAnswer, ...]) -> str:
    """Return one sentence on how many comments there are and how many wait for an answer."""
    waiting = sum(not answer.is_answered for answer in answers)
    said = f"{plural(waiting, 'comment is', 'comments are')} not answered yet" if waiting else "each is answered"
    return f"{plural(len(answers), 'review comment')}; {said}."
