"""The material list of an opened project."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.package.made_once import made_once

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.material_list import MaterialList


@made_once
def material_list_of_project(opened: OpenedProject) -> MaterialList:
    """Return what the material list says; labels have the size at which they are cut from sheets."""
    from permitgen.documents.canvas.page import LETTER
    from permitgen.documents.canvas.styles import MM_PER_INCH
    from permitgen.documents.labels.sheet import sheet_pages
    from permitgen.package.label_job import labels_of, set_labels_of
    from permitgen.package.placard_job import placards_made
    from permitgen.views.material_equipment import LabelPieces
    from permitgen.views.material_list import material_list_of

    each = list(zip(labels_of(opened).labels, set_labels_of(opened), strict=True))
    labels = [label for _, label in each if label is not None]
    pieces = LabelPieces(
        labels=tuple((label.view, label.width_mm / MM_PER_INCH, label.height_mm / MM_PER_INCH) for label in labels),
        too_large=tuple(view for view, label in each if label is None),
        sheets=len(sheet_pages(labels)) if labels else 0,
        stock=LETTER.name,
        plates=placards_made(opened),
    )
    return material_list_of(opened.evaluation, pieces)


def material_list_files(view: MaterialList) -> dict[str, bytes]:
    """Return ``material_list.pdf``, ``.csv`` and ``.xlsx``."""
    from permitgen.documents.material_list_pdf import material_list_pdf
    from permitgen.documents.material_list_tables import material_list_csv, material_list_xlsx

    return {
        "material_list.pdf": material_list_pdf(view),
        "material_list.csv": material_list_csv(view),
        "material_list.xlsx": material_list_xlsx(view),
    }
