"""The reply to the plan review as a DOCX, from a template that anyone can restyle in a word processor."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from permitgen.documents.docx_template import DocxProperties, filled_docx
from permitgen.documents.resources import template_path
from permitgen.views.vocabulary import state_word

if TYPE_CHECKING:
    from pathlib import Path

    from permitgen.views.review_reply import ReviewAnswer, ReviewReply

TEMPLATE = "review_reply.docx"


def review_reply_docx(reply: ReviewReply, template: Path | None = None) -> bytes:
    """Return ``review_reply.docx``, from the shipped template or another one.

    Raises:
        ProblemsError: the template cannot be used; see ``docx_template``.
    """
    title = reply.title
    properties = DocxProperties(
        title=f"Reply to plan review, {title.project}",
        subject=f"{title.edition}, {title.jurisdiction}, revision {title.revision}, Document ID {reply.document_id}",
        author=title.contractor,
        keywords=", ".join(part for part in (title.number, title.permit_number, title.edition) if part),
    )
    return filled_docx(template or template_path(TEMPLATE), review_reply_fields(reply), properties)


def review_reply_fields(reply: ReviewReply) -> dict[str, Any]:
    """Return everything a template may print, as plain dicts, lists and texts; ``templates/README.md`` lists it."""
    title = reply.title
    return {
        "title": {
            "project": title.project,
            "number": title.number,
            "address": title.address,
            "jurisdiction": title.jurisdiction,
            "edition": title.edition,
            "permit_number": title.permit_number,
            "revision": title.revision,
            "revision_date": title.revision_date,
            "state": state_word(title.state),
            "contractor": title.contractor,
            "document_id": reply.document_id,
            "status": title.status,
            "has_violations": "yes" if title.has_violations else "",
            "cautions": list(title.cautions),
            "deference": title.deference,
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
