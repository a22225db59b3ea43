"""The derivations as a DOCX, from a template that anyone can restyle in a word processor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.derivation_fields import derivation_fields
from permitgen.documents.docx_template import DocxProperties, filled_docx
from permitgen.documents.resources import template_path

if TYPE_CHECKING:
    from pathlib import Path

    from permitgen.views.calculation_sheet import CalculationSheet

TEMPLATE = "derivations.docx"


def derivations_docx(sheet: CalculationSheet, template: Path | None = None) -> bytes:
    """Return the DOCX file of a calculation sheet, from the shipped template or another one.

    Raises:
        ProblemsError: the template cannot be used; see ``docx_template``.
    """
    title = sheet.title
    return filled_docx(
        template or template_path(TEMPLATE),
        derivation_fields(sheet),
        DocxProperties(
            title=f"Derivations, {title.project}",
            subject=f"{title.edition}, {title.jurisdiction}, revision {title.revision}, Document ID {sheet.document_id}",
            author=title.contractor,
            keywords=", ".join(part for part in (title.number, title.permit_number, title.edition) if part),
        ),
    )
