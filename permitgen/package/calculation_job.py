"""The electrical calculation of an opened project, as files of a package."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.package.made_once import made_once

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.calculation_sheet import CalculationSheet


@made_once
def calculation_of(opened: OpenedProject) -> CalculationSheet:
    """Return what the calculation says."""
    from permitgen.views.calculation_sheet import view_of

    return view_of(opened.evaluation)


def calculation_files(opened: OpenedProject) -> dict[str, bytes]:
    """Return ``calculations.pdf`` and ``.docx``."""
    from permitgen.documents.calculation_docx import calculation_docx
    from permitgen.documents.calculation_pdf import calculation_pdf
    from permitgen.documents.resources import template_path

    view = calculation_of(opened)
    template = template_path("calculation.docx", opened.loaded.folder)
    return {"calculations.pdf": calculation_pdf(view), "calculations.docx": calculation_docx(view, template)}
