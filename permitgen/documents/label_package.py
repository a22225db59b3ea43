"""The label files of a package: all on sheets, and each one alone as PDF, SVG and PNG."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.canvas.page import LETTER, Document, PaperSize
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.gate_mark import marked_labels
from permitgen.documents.labels.denied_lines import with_denied_lines
from permitgen.documents.labels.label_files import label_pdf, label_png, label_svg
from permitgen.documents.labels.measuring_bars import NO_CORRECTION, PrinterCorrection
from permitgen.documents.labels.set_label import SetLabel, set_label
from permitgen.documents.labels.sheet import SheetOptions, sheet_pages

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.views.label import LabelView
    from permitgen.views.label_denials import Denials
    from permitgen.views.label_set import LabelSet
    from permitgen.views.title import DocumentTitle


def label_package(labels: LabelSet, title: DocumentTitle, mark: str = "", denials: Sequence[Denials] = ()) -> dict[str, bytes]:
    """Return ``labels.pdf`` and, for each label, ``labels/<id>`` in three forms; labels of one kind are told apart by their tag.

    ``mark`` says that they are not to be hung, empty where they are. While they are not, the sheets are proofs: lines that violations
    deny (``denials``, for each label) stand there in red clouds. The files of single labels, which go to a printer, never have any.
    """
    made = marked_labels([set_label(view) for view in labels.labels], mark)
    proofs = with_denied_lines(made, denials) if mark and denials else made
    files = {"labels.pdf": label_sheets(proofs, title)} if made else {}
    for label, name in zip(made, file_names(labels.labels), strict=True):
        files[f"labels/{name}.pdf"] = label_pdf(label)
        files[f"labels/{name}.svg"] = label_svg(label).encode()
        files[f"labels/{name}.png"] = label_png(label)
    return files


def label_sheets(
    labels: Sequence[SetLabel],
    title: DocumentTitle,
    *,
    paper: PaperSize = LETTER,
    spares: int = 0,
    correction: PrinterCorrection = NO_CORRECTION,
) -> bytes:
    """Return every label as often as it is needed, nested on sheets with cut lines and bars to check the printer's scale."""
    heading = f"{title.project}, revision {title.revision}"
    pages = sheet_pages(labels, SheetOptions(paper, heading, spares, correction))
    return pdf_bytes(Document(pages, title=f"Labels, {title.project}", subject=title.edition))


def file_names(labels: Sequence[LabelView]) -> list[str]:
    """Return a file name for each label: its id, with its tag where several share the id, with a number where tags agree, too."""
    ids = [view.id for view in labels]
    names: list[str] = []
    for view in labels:
        name = view.id if ids.count(view.id) == 1 else f"{view.id}-{view.tag.replace('.', '-')}"
        number = 2
        unique = name
        while unique in names:
            unique, number = f"{name}-{number}", number + 1
        names.append(unique)
    return names
