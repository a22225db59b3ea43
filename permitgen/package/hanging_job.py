"""The hanging plan of an opened project: sizes as printed, and what the newest revision takes down and puts up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.package.made_once import made_once

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.hanging_plan import HangingPlan


@made_once
def hanging_plan_of_project(opened: OpenedProject) -> HangingPlan:
    """Return the hanging plan."""
    from permitgen.documents.canvas.styles import MM_PER_INCH
    from permitgen.package.document_ids import hung_documents
    from permitgen.package.label_job import denials_of_labels, labels_of, set_labels_of
    from permitgen.package.placard_job import placards_made
    from permitgen.views.document_list import document_changes
    from permitgen.views.hanging_plan import hanging_plan_of

    labels = labels_of(opened)
    sizes = [
        f"{label.width_mm / MM_PER_INCH:.1f} x {label.height_mm / MM_PER_INCH:.1f} in" if label is not None else "fits on no sheet"
        for label in set_labels_of(opened)
    ]
    changes = document_changes(hung_documents(opened.before), hung_documents(opened)) if opened.before is not None else None
    return hanging_plan_of(opened.evaluation, labels, sizes, placards_made(opened), changes, denials_of_labels(opened))


def hanging_plan_files(plan: HangingPlan, mark: str) -> dict[str, bytes]:
    """Return ``hanging_plan.pdf``; nothing where nothing hangs. ``mark`` is that of a shut gate."""
    from permitgen.documents.hanging_plan_pdf import hanging_plan_pdf

    return {"hanging_plan.pdf": hanging_plan_pdf(plan, mark)} if plan.places else {}
