"""The derivations as a DOCX, from a template that anyone can restyle in a word processor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.derivation_fields import derivation_fields
from permitgen.documents.docx_template import filled_docx, properties_of
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
    return filled_docx(
        template or template_path(TEMPLATE),
        derivation_fields(sheet),
        properties_of("Derivations", sheet.title, sheet.document_id),
    )
