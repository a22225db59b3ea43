"""Labels alone, for the printer at hand."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.documents.canvas.page import A4, LETTER, TABLOID, Document
from permitgen.documents.canvas.styles import MM_PER_INCH
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.fonts.faces import MissingGlyphError
from permitgen.documents.gate_mark import marked_labels
from permitgen.documents.label_package import file_names, label_sheets
from permitgen.documents.labels.ink import ENGRAVED, FULL_COLOR, ONE_INK, is_white_on_red, red_stock_note
from permitgen.documents.labels.label_files import Dpi, engraved_svg, form_page, form_png, label_png, label_svg
from permitgen.documents.labels.lettering import LabelContrastError
from permitgen.documents.labels.measuring_bars import NO_CORRECTION, PrinterCorrection
from permitgen.documents.labels.print_test import print_test_form
from permitgen.documents.labels.set_label import SetLabel, set_label
from permitgen.documents.labels.sheet import print_test_page
from permitgen.documents.labels.stock import STOCKS, LabelDoesNotFitError, LabelStock, roll, single, tape
from permitgen.package.made_once import made_once
from permitgen.package.standing import hanging_mark
from permitgen.project.quantities import QuantityError, parse_quantity
from permitgen.reading.nearest import did_you_mean
from permitgen.views.label_denials import Denials, denials_of
from permitgen.views.label_set import LabelSet, label_set_of
from permitgen.views.label_specs import load_label_specs
from permitgen.views.title import title_of
from permitgen.views.violations import violations_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.label import LabelView
    from permitgen.views.label_schedule import LetterHeights

FORMS = (".pdf", ".svg", ".png")
PRINTING = {"color": FULL_COLOR, "one-color": ONE_INK, "engraved": ENGRAVED}
_BAR_IN, _READINGS = 4.0, 2
_UNIT = re.compile(r"(?:[a-z]+|[\"'])$", re.IGNORECASE)
_STOCKS_IN_WORDS = 'write letter, A4, tabloid, a size such as "4x6 in" (a die-cut label), "roll 4 in" (continuous), or "tape 24 mm"'
_PAPERS = {paper.name: paper for paper in (LETTER, A4, TABLOID)}


class LabelJobError(Exception):
    """A label job that cannot be printed; the message says why and what would do."""


@dataclass(frozen=True, slots=True)
class LabelJob:
    """Stock, spare copies, ids (empty for all), what the 4 in bar measured (empty for not measured), and the form such as ``.pdf``.

    ``printing`` is a name of ``PRINTING``; ``dpi`` counts for pictures. ``requested`` are labels by their id that nothing asks for,
    ``left_out`` ids or names that are not printed.
    """

    stock: str = "letter"
    copies: int = 0
    only: tuple[str, ...] = ()
    measured: str = ""
    form: str = ".pdf"
    printing: str = "color"
    dpi: Dpi = 300
    requested: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LabelPrint:
    """The bytes of a job's file, and what whoever prints must know: labels that did not fit, and the stock that others need."""

    content: bytes
    notes: tuple[str, ...]


@made_once
def labels_of(opened: OpenedProject) -> LabelSet:
    """Return the labels of a project, with specifications beside the project file standing over the shipped ones."""
    return _with_requested(opened, ())


@made_once
def denials_of_labels(opened: OpenedProject) -> tuple[Denials, ...]:
    """Return the lines of each label that a violation denies, with the numbers that violations have on the sheets."""
    return denials_of(labels_of(opened).labels, violations_of(opened.evaluation))


@made_once
def set_labels_of(opened: OpenedProject) -> tuple[SetLabel | None, ...]:
    """Return each label as it is set for sheets; None for one that fits on none."""
    return tuple(_set_or_none(view) for view in labels_of(opened).labels)


def letter_heights_of(opened: OpenedProject) -> tuple[LetterHeights, ...]:
    """Return the heights of letters of each label, as it is printed; none of one that fits on no sheet."""
    return tuple(
        tuple((each.cap_height_in, each.binding_height_in) for each in label.letters) if label is not None else ()
        for label in set_labels_of(opened)
    )


def _set_or_none(view: LabelView) -> SetLabel | None:
    try:
        return set_label(view)
    except LabelDoesNotFitError:
        return None


def _with_requested(opened: OpenedProject, requested: tuple[str, ...]) -> LabelSet:
    folder = opened.loaded.folder / "label_specs"
    return label_set_of(opened.evaluation, [folder] if folder.is_dir() else [], requested)


def run_label_job(opened: OpenedProject, job: LabelJob) -> LabelPrint:
    """Return the job's file with every label that fits, and of the others the smallest stock that each needs.

    Raises:
        LabelJobError: unknown stock, label or form; no label fits the stock at its legal height; a character that the
            letters do not have; a bad reading.
    """
    if job.form not in FORMS:
        raise LabelJobError(f'--out: "{job.form}" is not a form of labels; forms: {", ".join(FORMS)}')
    stock, correction = stock_named(job.stock), correction_of(job.measured)
    if job.measured and job.form != ".pdf":
        raise LabelJobError(f"--measured corrects .pdf only; {job.form} has the size of the label itself")
    labels = _asked_for(opened, job)
    views = _chosen(labels, job)
    if job.form != ".pdf" and len(views) != 1:
        raise LabelJobError(f"{job.form} holds one label; choose it with --only, by its id and tag as --list shows them")
    fitting, misfits = _set_on(views, stock.for_printer(correction.across, correction.along), job)
    if not fitting:
        others = f"; nor does any of {len(misfits) - 1} others" if len(misfits) > 1 else ""
        raise LabelJobError(f"{misfits[0]}{others}" if misfits else "no label is left to print")
    chosen = marked_labels(fitting, hanging_mark(opened))
    unknown = (f"label {note.id}: {note.why}" for note in labels.not_judged if note.id in job.requested)
    notes = (
        *misfits,
        *unknown,
        *(
            red_stock_note(label.view, label.width_mm, label.height_mm)
            for label in fitting
            if job.printing == "one-color" and is_white_on_red(label.view)
        ),
    )
    return LabelPrint(_pdf(opened, job, chosen, stock, correction) if job.form == ".pdf" else _one(chosen[0], job, stock), notes)


def _set_on(views: list[LabelView], stock: LabelStock, job: LabelJob) -> tuple[list[SetLabel], list[str]]:
    """Set what fits the stock; of the rest say which stock each needs."""
    fitting: list[SetLabel] = []
    misfits: list[str] = []
    try:
        for view in views:
            try:
                fitting.append(set_label(view, stock, PRINTING[job.printing]))
            except LabelDoesNotFitError as error:
                misfits.append(str(error))
    except (LabelContrastError, MissingGlyphError) as error:
        raise LabelJobError(str(error)) from error
    return fitting, misfits


def _asked_for(opened: OpenedProject, job: LabelJob) -> LabelSet:
    known = load_label_specs()
    for wanted in job.requested:
        if wanted not in known:
            raise LabelJobError(f'--with: no label is called "{wanted}"{did_you_mean(wanted, list(known))}')
    return _with_requested(opened, job.requested) if job.requested else labels_of(opened)


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
    """Return the page that shows whether a printer is true, across and along, on ``stock``.

    Raises:
        LabelJobError: no such stock, or a bad reading.
    """
    chosen, correction = stock_named(stock), correction_of(measured)
    paper = _PAPERS.get(chosen.name)
    page = print_test_page(paper, correction) if paper is not None else print_test_form(chosen, correction)[0]
    return pdf_bytes(Document((page,), title="Print test for labels"))


def _chosen(labels: LabelSet, job: LabelJob) -> list[LabelView]:
    names = dict(zip(file_names(labels.labels), labels.labels, strict=True))
    ids = {view.id for view in labels.labels}
    for wanted in (*job.only, *job.left_out):
        if wanted not in names and wanted not in ids:
            raise LabelJobError(f'no label is called "{wanted}"{did_you_mean(wanted, [*names, *ids])}')
    wanted_views = [(name, view) for name, view in names.items() if not job.only or {name, view.id} & set(job.only)]
    return [view for name, view in wanted_views if not {name, view.id} & set(job.left_out)]


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
            return tape(parse_quantity(words.removeprefix("tape ").removesuffix(" tape"), "in", positive=True) * MM_PER_INCH)
        if words.startswith("roll ") or words.endswith(" roll"):
            return roll(parse_quantity(words.removeprefix("roll ").removesuffix(" roll"), "in", positive=True) * MM_PER_INCH)
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
    return single(" x ".join((width, height)), sizes[0] * MM_PER_INCH, sizes[1] * MM_PER_INCH)


def correction_of(measured: str) -> PrinterCorrection:
    """Return the correction for a printer whose 4 in bar measured ``measured``: one reading, or two, across and along.

    A shorter bar is named behind its reading: ``1.98 in of 2 in``.

    Raises:
        LabelJobError: not a length, or a reading that no printer in order gives.
    """
    if not measured:
        return NO_CORRECTION
    readings = measured.split(",")
    try:
        across, along = (_factor(readings[index]) for index in (0, -1))
        if len(readings) > _READINGS:
            raise LabelJobError("--measured: give one reading, or two, across and along, parted by a comma")
        return PrinterCorrection(across, along)
    except (QuantityError, ValueError) as error:
        raise LabelJobError(f"--measured: {error}") from error


def _factor(reading: str) -> float:
    measured, _, of = reading.partition(" of ")
    bar_in = parse_quantity(of.strip(), "in", positive=True) if of else _BAR_IN
    return bar_in / parse_quantity(measured.strip(), "in", positive=True)


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
