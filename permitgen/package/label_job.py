"""Labels alone, for the printer at hand."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from permitgen.documents.canvas.page import A4, LETTER, TABLOID, Document
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.fonts.faces import MissingGlyphError
from permitgen.documents.label_package import file_names, label_sheets
from permitgen.documents.labels.ink import ENGRAVED, FULL_COLOR, ONE_INK
from permitgen.documents.labels.label_files import engraved_svg, form_page, form_png, label_png, label_svg
from permitgen.documents.labels.lettering import LabelContrastError
from permitgen.documents.labels.measuring_bars import NO_CORRECTION, PrinterCorrection
from permitgen.documents.labels.set_label import SetLabel, set_label
from permitgen.documents.labels.sheet import print_test_page
from permitgen.documents.labels.stock import STOCKS, LabelDoesNotFitError, LabelStock, single, tape
from permitgen.package.made_once import made_once
from permitgen.project.quantities import QuantityError, parse_quantity
from permitgen.reading.nearest import did_you_mean
from permitgen.views.label_set import LabelSet, label_set_of
from permitgen.views.title import title_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.label import LabelView

FORMS = (".pdf", ".svg", ".png")
PRINTING = {"color": FULL_COLOR, "one-color": ONE_INK, "engraved": ENGRAVED}
_MM_PER_INCH = 25.4
_BAR_IN, _READINGS = 4.0, 2
_UNIT = re.compile(r"(?:[a-z]+|[\"'])$", re.IGNORECASE)
_STOCKS_IN_WORDS = 'write letter, A4, tabloid, a size such as "4x6 in", or "tape 24 mm"'
_PAPERS = {paper.name: paper for paper in (LETTER, A4, TABLOID)}


class LabelJobError(Exception):
    """A label job that cannot be printed; the message says why and what would do."""


@dataclass(frozen=True, slots=True)
class LabelJob:
    """Stock, spare copies, ids (empty for all), what the 4 in bar measured (empty for not measured), and the form such as ``.pdf``.

    ``printing`` is a name of ``PRINTING``; ``dpi`` counts for pictures.
    """

    stock: str = "letter"
    copies: int = 0
    only: tuple[str, ...] = ()
    measured: str = ""
    form: str = ".pdf"
    printing: str = "color"
    dpi: Literal[300, 600] = 300


@made_once
def labels_of(opened: OpenedProject) -> LabelSet:
    """Return the labels of a project, with specifications beside the project file standing over the shipped ones."""
    folder = opened.loaded.folder / "label_specs"
    return label_set_of(opened.evaluation, [folder] if folder.is_dir() else [])


def run_label_job(opened: OpenedProject, job: LabelJob) -> bytes:
    """Return the bytes of the job's file.

    Raises:
        LabelJobError: unknown stock, label or form; a label that does not fit the stock at its legal height; a character that the
            letters do not have; a bad reading.
    """
    if job.form not in FORMS:
        raise LabelJobError(f'--out: "{job.form}" is not a form of labels; forms: {", ".join(FORMS)}')
    stock, correction = stock_named(job.stock), correction_of(job.measured)
    if job.measured and job.form != ".pdf":
        raise LabelJobError(f"--measured corrects .pdf only; {job.form} has the size of the label itself")
    views = _chosen(labels_of(opened), job.only)
    if job.form != ".pdf" and len(views) != 1:
        raise LabelJobError(f"{job.form} holds one label; choose it with --only, by its id and tag as --list shows them")
    try:
        chosen = [set_label(view, stock.for_printer(correction.across, correction.along), PRINTING[job.printing]) for view in views]
    except (LabelDoesNotFitError, LabelContrastError, MissingGlyphError) as error:
        raise LabelJobError(str(error)) from error
    if job.form == ".pdf":
        return _pdf(opened, job, chosen, stock, correction)
    return _one(chosen[0], job, stock)


def _pdf(opened: OpenedProject, job: LabelJob, chosen: list[SetLabel], stock: LabelStock, correction: PrinterCorrection) -> bytes:
    title = title_of(opened.evaluation)
    if stock.kind == "sheet":
        return label_sheets(chosen, title, paper=_PAPERS[stock.name], spares=job.copies, correction=correction)
    pages = tuple(form_page(label, stock, correction) for label in chosen for _ in range(label.view.quantity + job.copies))
    return pdf_bytes(Document(pages, title=f"Labels, {title.project}", subject=title.edition))


def _one(label: SetLabel, job: LabelJob, stock: LabelStock) -> bytes:
    if job.form == ".svg":
        return (engraved_svg(label) if job.printing == "engraved" else label_svg(label)).encode()
    one_bit = job.printing != "color"
    return label_png(label, job.dpi, one_bit=one_bit) if stock.kind == "sheet" else form_png(label, stock, job.dpi, one_bit=one_bit)


def print_test_pdf(stock: str, measured: str) -> bytes:
    """Return the page that shows whether a printer is true, across and along, on a sheet of ``stock``.

    Raises:
        LabelJobError: not a sheet, or a bad reading.
    """
    paper = _PAPERS.get(stock_named(stock).name)
    if paper is None:
        raise LabelJobError(f'--test-page: "{stock}" is not a sheet; sheets: {", ".join(_PAPERS)}')
    return pdf_bytes(Document((print_test_page(paper, correction_of(measured)),), title="Print test for labels"))


def _chosen(labels: LabelSet, only: tuple[str, ...]) -> list[LabelView]:
    names = dict(zip(file_names(labels.labels), labels.labels, strict=True))
    ids = {view.id for view in labels.labels}
    for wanted in only:
        if wanted not in names and wanted not in ids:
            raise LabelJobError(f'no label is called "{wanted}"{did_you_mean(wanted, [*names, *ids])}')
    return [view for name, view in names.items() if not only or name in only or view.id in only]


def stock_named(name: str) -> LabelStock:
    """Return a stock by its name: a sheet, a size such as ``4x6 in``, or tape such as ``tape 24 mm``.

    Raises:
        LabelJobError: no such stock.
    """
    words = name.strip()
    named = {stock.casefold(): stock for stock in STOCKS}
    if words.casefold() in named:
        return STOCKS[named[words.casefold()]]
    try:
        if words.startswith("tape ") or words.endswith(" tape"):
            return tape(parse_quantity(words.removeprefix("tape ").removesuffix(" tape"), "in", positive=True) * _MM_PER_INCH)
        width, separator, height = (part.strip() for part in words.partition("x"))
        if separator:
            return _form(name, width, height)
    except QuantityError as error:
        raise LabelJobError(f'--stock: "{name}": {error}') from error
    raise LabelJobError(f'--stock: "{name}" is not a stock; {_STOCKS_IN_WORDS}{did_you_mean(name, STOCKS)}')


def _form(name: str, width: str, height: str) -> LabelStock:
    unit = _UNIT.search(height)
    if unit is None:
        raise LabelJobError(f'--stock: "{name}" has no unit; {_STOCKS_IN_WORDS}; did you mean "{name} in"?')
    sizes = [
        parse_quantity(f"{width.removesuffix(unit[0]).strip()} {unit[0]}", "in", positive=True),
        parse_quantity(height, "in", positive=True),
    ]
    return single(" x ".join((width, height)), sizes[0] * _MM_PER_INCH, sizes[1] * _MM_PER_INCH)


def correction_of(measured: str) -> PrinterCorrection:
    """Return the correction for a printer whose 4 in bar measured ``measured``: one reading, or two, across and along.

    Raises:
        LabelJobError: not a length, or a reading that no printer in order gives.
    """
    if not measured:
        return NO_CORRECTION
    readings = measured.split(",")
    try:
        across, along = (_BAR_IN / parse_quantity(readings[index].strip(), "in", positive=True) for index in (0, -1))
        if len(readings) > _READINGS:
            raise LabelJobError("--measured: give one reading, or two, across and along, parted by a comma")
        return PrinterCorrection(across, along)
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
        ("exempt", labels.exempt),
        ("remove", labels.remove),
        ("not checked", labels.not_judged),
    ):
        lines += [f"{heading}: {', '.join(part for part in (note.name, note.tag, note.place) if part)} ({note.why})" for note in notes]
    return "\n".join(lines)
