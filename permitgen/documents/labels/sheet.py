"""Labels nested on sheets of paper or film, with cut lines, registration marks and measuring bars.

Tallest first, each where it fits most closely. Each label's name stands below it in the waste.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.colors import BLACK, DARK_GRAY, MID_GRAY
from permitgen.documents.canvas.figures import circle, rounded_rectangle
from permitgen.documents.canvas.page import LETTER, Page, PaperSize
from permitgen.documents.canvas.shapes import Bookmark, Group, Line, Shape, Text, moved
from permitgen.documents.canvas.styles import Pen, points
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.fonts.faces import SANS, SANS_SEMIBOLD
from permitgen.documents.labels.label_frame import CORNER_RADIUS_MM
from permitgen.documents.labels.measuring_bars import (
    NO_CORRECTION,
    PrinterCorrection,
    inch_bar,
    millimeter_bar,
    print_notice,
    upright,
)
from permitgen.documents.labels.nesting import NestedItem, NestedSheet
from permitgen.documents.labels.set_label import SetLabel
from permitgen.documents.labels.stock import SHEET_HEAD_MM, LabelDoesNotFitError, sheet

_GAP_MM = 3.0
_CAPTION_MM = 3.4
_CAPTION = points(SANS, 5.5, DARK_GRAY)
_CUT = Pen(0.1, MID_GRAY)
_MARK = Pen(0.2, BLACK)
_MARK_RADIUS_MM = 1.6


@dataclass(frozen=True, slots=True)
class SheetOptions:
    """Paper, what stands in the head of each sheet, spare copies of each label, and the printer's correction."""

    paper: PaperSize = LETTER
    heading: str = ""
    spares: int = 0
    correction: PrinterCorrection = NO_CORRECTION


def copies_of(labels: Sequence[SetLabel], spares: int = 0) -> list[tuple[SetLabel, str]]:
    """Return each label as often as it is needed, with the words that tell the copies apart."""
    copies: list[tuple[SetLabel, str]] = []
    for label in labels:
        count = label.view.quantity + spares
        for number in range(1, count + 1):
            parts = [label.asks_for, label.view.id, label.view.tag, f"{number} of {count}" if count > 1 else ""]
            copies.append((label, "   ".join(part for part in parts if part)))
    return copies


def sheet_pages(labels: Sequence[SetLabel], options: SheetOptions | None = None) -> tuple[Page, ...]:
    """Return the sheets that carry all labels in the numbers needed, each with its bars.

    Raises LabelDoesNotFitError for a label set on a larger stock than the paper.
    """
    options = options or SheetOptions()
    area = _area(options)
    sheets: list[NestedSheet] = []
    ordered = sorted(copies_of(labels, options.spares), key=lambda copy: (-copy[0].height_mm, -copy[0].width_mm))
    for label, caption in ordered:
        _place(label, caption, sheets, area)
    return tuple(_page(nested, number, len(sheets), options) for number, nested in enumerate(sheets, start=1))


def _area(options: SheetOptions) -> tuple[float, float]:
    """Width and height for labels before the printer's correction, which must leave them within the printable area."""
    return sheet(options.paper).for_printer(options.correction.across, options.correction.along).label_areas[0]


def _place(label: SetLabel, caption: str, sheets: list[NestedSheet], area: tuple[float, float]) -> None:
    width, height = label.width_mm, label.height_mm
    if width > area[0] + 1e-6 or height > area[1] + 1e-6:
        raise LabelDoesNotFitError(
            f"label {label.view.id}: set for {label.stock}, {width:.0f} by {height:.0f} mm, and larger than the sheet"
        )
    # The gap and the name below a label may hang over the edge of the area: nothing stands there.
    item = NestedItem(width + _GAP_MM, height + _CAPTION_MM + _GAP_MM, (label, caption))
    for nested in sheets:
        if nested.place(item):
            return
    sheets.append(NestedSheet(area[0] + _GAP_MM, area[1] + _CAPTION_MM + _GAP_MM))
    sheets[-1].place(item)


def _page(nested: NestedSheet, number: int, count: int, options: SheetOptions) -> Page:
    paper, margin = options.paper, sheet(options.paper).margin_mm
    shapes: list[Shape] = []
    for x, y, (label, caption) in nested.placed:
        placed = (*label.shapes, _cut_line(label), *_caption(label, caption))
        shapes.append(Group(placed, transform=moved(margin + x, margin + SHEET_HEAD_MM + y)))
    shapes.extend(_head(paper, margin, options.heading, f"sheet {number} of {count}"))
    shapes.extend(_foot(paper, margin))
    bookmarks = [Bookmark(f"label-sheet-{number}", f"Labels, sheet {number} of {count}", 0.0)]
    corrected = Group(tuple(shapes), transform=options.correction.about(paper.width_mm / 2, paper.height_mm / 2))
    return Page(paper.width_mm, paper.height_mm, (*bookmarks, corrected))


def _cut_line(label: SetLabel) -> Shape:
    radius = CORNER_RADIUS_MM if label.view.border else 0.0
    return rounded_rectangle(0, 0, label.width_mm, label.height_mm, radius=radius, pen=_CUT)


def _caption(label: SetLabel, caption: str) -> tuple[Shape, ...]:
    """Return the name below the label, shortened to the label's width so that it stays in the waste beside no other."""
    while caption and text_width(caption, _CAPTION) > label.width_mm + _GAP_MM - 0.5:
        caption = caption[:-1]
    return (Text(0.0, label.height_mm + 2.6, caption, _CAPTION),)


def _registration_mark(x: float, y: float) -> tuple[Shape, ...]:
    reach = _MARK_RADIUS_MM * 1.6
    return (circle(x, y, _MARK_RADIUS_MM, pen=_MARK), Line(x - reach, y, x + reach, y, _MARK), Line(x, y - reach, x, y + reach, _MARK))


def _head(paper: PaperSize, margin: float, heading: str, sheet_words: str) -> list[Shape]:
    left, right, y = margin + 2.8, paper.width_mm - margin - 2.8, margin + 2.8
    return [
        *_registration_mark(left, y),
        *_registration_mark(right, y),
        Text(left + 6, y + 1.0, heading, points(SANS_SEMIBOLD, 8, BLACK)),
        Text(right - 6, y + 1.0, sheet_words, points(SANS, 8, DARK_GRAY), anchor="end"),
    ]


def _foot(paper: PaperSize, margin: float) -> list[Shape]:
    """Both bars below each other at the left, how to print at the right, registration marks in the corners."""
    left, right, bottom = margin, paper.width_mm - margin, paper.height_mm - margin
    return [
        *_registration_mark(left + 2.8, bottom - 2.8),
        *_registration_mark(right - 2.8, bottom - 2.8),
        millimeter_bar(left + 9, bottom - 12.6),
        inch_bar(left + 9, bottom - 4.2),
        *print_notice(left + 118, bottom - 10.4, "If a bar does not measure what it says, do not use the sheet."),
    ]


def print_test_page(paper: PaperSize, correction: PrinterCorrection = NO_CORRECTION) -> Page:
    """Return a page to print first on plain paper: both bars across and along, and what to do with them."""
    middle_x, middle_y = paper.width_mm / 2, paper.height_mm / 2
    words = (
        "Measure the four bars with a steel ruler.",
        "Where a 4 in bar measures otherwise, give both readings to the program, across first and then along,",
        'for example: --measured "3.98 in, 4.01 in". Print this page again and measure again.',
        "Then lay a plain print of the labels against the equipment before printing on film.",
    )
    style = points(SANS, 10, BLACK)
    shapes: list[Shape] = [Text(25, 30, "Print test for labels", points(SANS_SEMIBOLD, 18, BLACK))]
    shapes += print_notice(25, 40, f"Correction in force: across {correction.across:.4f}, along {correction.along:.4f}.")
    shapes += [Text(25, 56 + 6 * number, line, style) for number, line in enumerate(words)]
    shapes += [millimeter_bar(50, 110), inch_bar(50, 130)]
    shapes += [upright(millimeter_bar(0, 0), 60, 250), upright(inch_bar(0, 0), 85, 250)]
    return Page(
        paper.width_mm, paper.height_mm, (Group(tuple(shapes), transform=correction.about(middle_x, middle_y)),), title="Print test"
    )
