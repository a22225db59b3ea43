"""The electrical calculation of an opened project, as files of a package: the reviewer's edition, and the derivations."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.package.made_once import made_once

if TYPE_CHECKING:
    from pathlib import Path

    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.calculation_sheet import CalculationSheet
    from permitgen.views.reviewer.parts import ReviewerCalculation


@made_once
def calculation_of(opened: OpenedProject) -> ReviewerCalculation:
    """Return what the reviewer's calculation says, with the sheets and zones on which the plan set shows the same."""
    from permitgen.package.plan_set_job import drawn_plan_set
    from permitgen.views.reviewer.document import reviewer_calculation_of, with_places

    return with_places(reviewer_calculation_of(opened.evaluation), drawn_plan_set(opened)[1].places)


def calculation_files(view: ReviewerCalculation, folder: Path) -> dict[str, bytes]:
    """Return ``calculations.pdf`` and ``.docx``; ``folder`` may hold templates of the project's own."""
    from permitgen.documents.calculation_docx import calculation_docx
    from permitgen.documents.calculation_pdf import calculation_pdf
    from permitgen.documents.resources import template_path

    template = template_path("calculation.docx", folder)
    return {"calculations.pdf": calculation_pdf(view), "calculations.docx": calculation_docx(view, template)}


@made_once
def derivations_of(opened: OpenedProject) -> CalculationSheet:
    """Return every check and every step of the calculation."""
    from permitgen.views.calculation_sheet import view_of

    return view_of(opened.evaluation)


def derivation_files(view: CalculationSheet, folder: Path) -> dict[str, bytes]:
    """Return ``derivations.html``."""
    from permitgen.documents.derivations_html import derivations_html

    return {"derivations.html": derivations_html(view, folder)}


def derivation_papers(view: CalculationSheet, folder: Path) -> dict[str, bytes]:
    """Return ``derivations.pdf`` and ``.docx``."""
    from permitgen.documents.derivations_docx import derivations_docx
    from permitgen.documents.derivations_pdf import derivations_pdf
    from permitgen.documents.resources import template_path

    template = template_path("derivations.docx", folder)
    return {"derivations.pdf": derivations_pdf(view), "derivations.docx": derivations_docx(view, template)}
