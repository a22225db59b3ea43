"""Labels alone, for the printer at hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.documents.canvas.page import A4, LETTER, TABLOID, Document
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.label_package import file_names, label_sheets
from permitgen.documents.labels.label_files import form_page, label_png, label_svg
from permitgen.documents.labels.measuring_bars import NO_CORRECTION, PrinterCorrection
from permitgen.documents.labels.set_label import SetLabel, set_label
from permitgen.documents.labels.stock import STOCKS, LabelDoesNotFitError, LabelStock, single, tape
from permitgen.project.nearest import did_you_mean
from permitgen.project.quantities import QuantityError, parse_quantity
from permitgen.views.label_set import LabelSet, label_set_of
from permitgen.views.title import title_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.label import LabelView

_MM_PER_INCH = 25.4
_BAR_IN = 4.0
_PAPERS = {paper.name: paper for paper in (LETTER, A4, TABLOID)}


class LabelJobError(Exception):
    """A label job that cannot be printed; the message says why and what would do."""


@dataclass(frozen=True, slots=True)
class LabelJob:
    """Stock, spare copies, ids (empty for all), what the 4 in bar measured (empty for not measured), and the form such as ``.pdf``."""

    stock: str = "letter"
    copies: int = 0
    only: tuple[str, ...] = ()
    measured: str = ""
    form: str = ".pdf"


def labels_of(opened: OpenedProject) -> LabelSet:
    """Return the labels of a project, with specifications beside the project file standing over the shipped ones."""
    folder = opened.loaded.folder / "label_specs"
    return label_set_of(opened.evaluation, opened.fingerprint, [folder] if folder.is_dir() else [])


def run_label_job(opened: OpenedProject, job: LabelJob) -> bytes:
    """Return the bytes of the job's file.

    Raises:
        LabelJobError: unknown stock, label or form; a label that does not fit the stock at its legal height; a bad reading.
    """
    stock, correction = stock_named(job.stock), correction_of(job.measured)
    try:
        chosen = [set_label(view, stock) for view in _chosen(labels_of(opened), job.only)]
    except LabelDoesNotFitError as error:
        raise LabelJobError(str(error)) from error
    if job.form in (".svg", ".png"):
        return _one(chosen, job.form)
    if job.form != ".pdf":
        raise LabelJobError(f'"{job.form}" is not a form of labels; forms: .pdf, .svg, .png')
    title = title_of(opened.evaluation, opened.fingerprint)
    if stock.kind == "sheet":
        return label_sheets(chosen, title, paper=_PAPERS[stock.name], spares=job.copies, correction=correction)
    pages = tuple(form_page(label, stock, correction) for label in chosen for _ in range(label.view.quantity + job.copies))
    return pdf_bytes(Document(pages, title=f"Labels, {title.project}", subject=title.edition))


def _chosen(labels: LabelSet, only: tuple[str, ...]) -> list[LabelView]:
    names = dict(zip(file_names(labels.labels), labels.labels, strict=True))
    ids = {view.id for view in labels.labels}
    for wanted in only:
        if wanted not in names and wanted not in ids:
            raise LabelJobError(f'no label is called "{wanted}"{did_you_mean(wanted, [*names, *ids])}')
    return [view for name, view in names.items() if not only or name in only or view.id in only]


def _one(labels: list[SetLabel], form: str) -> bytes:
    if len(labels) != 1:
        raise LabelJobError(f"{form} holds one label; choose it with --only")
    return label_svg(labels[0]).encode() if form == ".svg" else label_png(labels[0])


def stock_named(name: str) -> LabelStock:
    """Return a stock by its name: a sheet, a size such as ``4x6 in``, or tape such as ``tape 24 mm``.

    Raises:
        LabelJobError: no such stock.
    """
    if name in STOCKS:
        return STOCKS[name]
    words = name.strip()
    try:
        if words.startswith("tape "):
            return tape(parse_quantity(words.removeprefix("tape "), "in", positive=True) * _MM_PER_INCH)
        width, separator, height = words.partition("x")
        if separator:
            unit = height.strip().split(" ", maxsplit=1)[-1]
            size = (parse_quantity(f"{width.strip()} {unit}", "in", positive=True), parse_quantity(height.strip(), "in", positive=True))
            return single(words, size[0] * _MM_PER_INCH, size[1] * _MM_PER_INCH)
    except QuantityError as error:
        raise LabelJobError(f'--stock: "{name}": {error}') from error
    raise LabelJobError(
        f'--stock: "{name}" is not a stock{did_you_mean(name, STOCKS)}; write letter, A4, a size such as "4x6 in", or "tape 24 mm"'
    )


def correction_of(measured: str) -> PrinterCorrection:
    """Return the correction for a printer whose 4 in bar measured ``measured``.

    Raises:
        LabelJobError: not a length, or a reading that no printer in order gives.
    """
    if not measured:
        return NO_CORRECTION
    try:
        factor = _BAR_IN / parse_quantity(measured, "in", positive=True)
        return PrinterCorrection(factor, factor)
    except (QuantityError, ValueError) as error:
        raise LabelJobError(f"--measured: {error}") from error


def label_list(opened: OpenedProject) -> str:
    """Return the labels with their places, what is not printed and why."""
    labels = labels_of(opened)
    lines = [
        f"{name:<36} {view.quantity} ×  {view.section or 'practice':<36} {'; '.join(view.places)}"
        for name, view in zip(file_names(labels.labels), labels.labels, strict=True)
    ]
    for heading, notes in (
        ("on the placard", labels.on_placard),
        ("exempt, printed on request", labels.exempt),
        ("remove", labels.remove),
        ("not judged", labels.not_judged),
    ):
        lines += [f"{heading}: {', '.join(part for part in (note.name, note.tag, note.place) if part)} ({note.why})" for note in notes]
    return "\n".join(lines)
