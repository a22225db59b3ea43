"""One label as a file: a page of its own size, a form, a stretch of tape, a drawing for an engraver, a picture."""

from __future__ import annotations

from typing import Literal

from permitgen.documents.canvas.colors import SAFETY_RED
from permitgen.documents.canvas.figures import rounded_rectangle
from permitgen.documents.canvas.page import Document, Page
from permitgen.documents.canvas.shapes import Group, moved, rotated
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.canvas.to_png import png_bytes
from permitgen.documents.canvas.to_svg import svg_text
from permitgen.documents.labels.ink import ENGRAVED
from permitgen.documents.labels.label_frame import CORNER_RADIUS_MM
from permitgen.documents.labels.measuring_bars import NO_CORRECTION, PrinterCorrection
from permitgen.documents.labels.set_label import SetLabel, set_label
from permitgen.documents.labels.stock import LETTER_SHEET, LabelStock
from permitgen.views.label import LabelView

Dpi = Literal[203, 300, 600]
"""Dots per inch of thermal printers."""
_CUT_PEN = Pen(0.1, SAFETY_RED)


def label_page(label: SetLabel) -> Page:
    """Return a page as large as the label itself."""
    return Page(label.width_mm, label.height_mm, label.shapes, title=label.view.name)


def form_page(label: SetLabel, stock: LabelStock, correction: PrinterCorrection = NO_CORRECTION) -> Page:
    """Return the page for a single form or for tape: the label in the middle of the form, turned to lie as the label does."""
    if stock.kind == "tape":
        width, height = label.width_mm + 2 * stock.margin_mm, stock.height_mm
    elif stock.kind == "roll":
        return _roll_page(label, stock, correction)
    else:
        long, short = max(stock.width_mm, stock.height_mm), min(stock.width_mm, stock.height_mm)
        width, height = (long, short) if label.width_mm >= label.height_mm else (short, long)
    placed = Group(label.shapes, transform=moved((width - label.width_mm) / 2, (height - label.height_mm) / 2))
    return Page(width, height, (Group((placed,), transform=correction.about(width / 2, height / 2)),), title=label.view.name)


def _roll_page(label: SetLabel, stock: LabelStock, correction: PrinterCorrection) -> Page:
    """The label across the roll, or turned along it where it is wider than the roll."""
    width = stock.width_mm
    lies_across = label.width_mm <= width - 2 * stock.margin_mm + 1e-6
    height = (label.height_mm if lies_across else label.width_mm) + 2 * stock.margin_mm
    turn = moved((width - label.width_mm) / 2, stock.margin_mm)
    if not lies_across:
        turn = moved((width - label.height_mm) / 2, stock.margin_mm + label.width_mm).after(rotated(90))
    placed = Group((Group(label.shapes, transform=turn),), transform=correction.about(width / 2, height / 2))
    return Page(width, height, (placed,), title=label.view.name)


def engraving_svg(view: LabelView, stock: LabelStock = LETTER_SHEET) -> str:
    """Return the drawing for an engraver: layer ``engrave`` black, layer ``cut`` red, every letter an outline.

    Raises what ``set_label`` raises.
    """
    return engraved_svg(set_label(view, stock, ENGRAVED))


def engraved_svg(label: SetLabel) -> str:
    """Return a label that was set to be engraved as a drawing for the engraver, cut and engraved strokes in layers of their own."""
    return svg_text(engraved_page(label), text_as="outlines")


def engraved_page(label: SetLabel) -> Page:
    """Return the page of a label that was set to be engraved, what is engraved and what is cut in layers of their own."""
    radius = CORNER_RADIUS_MM if label.view.border else 0.0
    outline = rounded_rectangle(0, 0, label.width_mm, label.height_mm, radius=radius, pen=_CUT_PEN)
    shapes = (Group(label.shapes, layer="engrave"), Group((outline,), layer="cut"))
    return Page(label.width_mm, label.height_mm, shapes, title=label.view.name)


def label_pdf(label: SetLabel) -> bytes:
    """Return one label as a PDF file of its own size."""
    return pdf_bytes(Document((label_page(label),), title=label.view.name, subject=label.view.id))


def label_svg(label: SetLabel) -> str:
    """Return one label as an SVG file of its own size, text as text."""
    return svg_text(label_page(label))


def label_png(label: SetLabel, dpi: Dpi = 300, *, one_bit: bool = False) -> bytes:
    """Return one label as a PNG picture at the resolution of the printer."""
    return png_bytes(label_page(label), dpi, one_bit=one_bit)


def form_png(label: SetLabel, stock: LabelStock, dpi: Dpi = 300, *, one_bit: bool = False) -> bytes:
    """Return one label on its whole form, or on the whole width of its tape, as a picture for a thermal printer."""
    return png_bytes(form_page(label, stock), dpi, one_bit=one_bit)
