"""The reply to the plan review as a DOCX, from a template that anyone can restyle in a word processor."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from permitgen.documents.derivation_fields import title_fields
from permitgen.documents.docx_template import filled_docx, properties_of
from permitgen.documents.resources import template_path

if TYPE_CHECKING:
    from pathlib import Path

    from permitgen.views.review_reply import ReviewAnswer, ReviewReply

TEMPLATE = "review_reply.docx"


def review_reply_docx(reply: ReviewReply, template: Path | None = None) -> bytes:
    """Return ``review_reply.docx``, from the shipped template or another one.

    Raises:
        ProblemsError: the template cannot be used; see ``docx_template``.
    """
    properties = properties_of("Reply to plan review", reply.title, reply.document_id)
    return filled_docx(template or template_path(TEMPLATE), review_reply_fields(reply), properties)


def review_reply_fields(reply: ReviewReply) -> dict[str, Any]:
    """Return everything a template may print, as plain dicts, lists and texts; ``templates/README.md`` lists it."""
    title = reply.title
    return {
        "title": {
            **title_fields(title, reply.document_id),
            "facts": [{"name": name, "value": value} for name, value in reply.facts],
            "footer": f"{title.number or title.project} · revision {title.revision} · Document ID {reply.document_id}",
        },
        "standing": reply.standing,
        "has_unanswered": "yes" if reply.unanswered else "",
        "answers": [_answer(answer) for answer in reply.answers],
    }


def _answer(answer: ReviewAnswer) -> dict[str, str]:
    return {
        "number": answer.number,
        "comment": answer.comment,
        "by": answer.by,
        "answer": answer.answer,
        "is_answered": "yes" if answer.is_answered else "",
        "sheet": answer.sheet,
        "sheet_title": answer.sheet_title,
    }
