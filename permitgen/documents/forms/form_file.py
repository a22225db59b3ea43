"""A form by its bytes: what it is, and the same form filled."""

from __future__ import annotations

from permitgen.documents.forms.form import Answers, Form, FormRefusedError

LARGEST_BYTES = 20_000_000
_PDF, _ARCHIVE = b"%PDF-", b"PK\x03\x04"
_HEAD = 1024


def form_of(content: bytes) -> Form:
    """Return the fields of a form.

    Raises:
        FormRefusedError: it is neither PDF nor Word file, or one that is not filled.
    """
    if _is_pdf(content):
        from permitgen.documents.forms.pdf_fields import pdf_form

        return pdf_form(content)
    from permitgen.documents.forms.word_form import word_form

    return word_form(content)


def filled_form(content: bytes, answers: Answers) -> bytes:
    """Return the form with the answers in it; what they do not name stays as it is.

    Raises:
        FormRefusedError: as ``form_of``.
        FormFaultsError: some fields or places cannot be written so, or hold a character that cannot be printed.
    """
    if _is_pdf(content):
        from permitgen.documents.forms.pdf_fill import filled_pdf

        return filled_pdf(content, answers)
    from permitgen.documents.forms.word_form import filled_word

    return filled_word(content, answers)


def _is_pdf(content: bytes) -> bool:
    if _PDF in content[:_HEAD]:
        return True
    if content.startswith(_ARCHIVE):
        return False
    raise FormRefusedError("is neither a PDF nor a Word file (.docx); ask for it as one of these")
