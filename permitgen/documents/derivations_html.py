"""The derivations as one HTML page: searchable without network, every step linked to those it uses and to those that use it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.derivation_fields import derivation_fields
from permitgen.documents.html_page import page

if TYPE_CHECKING:
    from pathlib import Path

    from permitgen.views.calculation_sheet import CalculationSheet


def derivations_html(sheet: CalculationSheet, project_folder: Path | None = None) -> bytes:
    """Return ``derivations.html``.

    Raises:
        ProblemsError: the template cannot be used; see ``html_page``.
    """
    fields = derivation_fields(sheet)
    return page("derivations.html", fields, styles="derivations.css", scripts="derivations.js", project_folder=project_folder)
