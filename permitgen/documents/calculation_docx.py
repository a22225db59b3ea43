"""The reviewer's calculation as a DOCX, from a template that anyone can restyle in a word processor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.calculation_fields import calculation_fields
from permitgen.documents.docx_template import filled_docx, properties_of
from permitgen.documents.resources import template_path

if TYPE_CHECKING:
    from pathlib import Path

    from permitgen.views.reviewer.parts import ReviewerCalculation

TEMPLATE = "calculation.docx"


def calculation_docx(view: ReviewerCalculation, template: Path | None = None) -> bytes:
    """Return the DOCX file of a reviewer's calculation, from the shipped template or another one.

    Raises:
        ProblemsError: the template cannot be used; see ``docx_template``.
    """
    return filled_docx(
        template or template_path(TEMPLATE),
        calculation_fields(view),
        properties_of("Electrical calculation", view.title, view.document_id),
    )
