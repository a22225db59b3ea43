"""A print of the measuring bars alone on a label form, a roll or a tape: across and along."""

from __future__ import annotations

from permitgen.documents.canvas.page import Page
from permitgen.documents.canvas.shapes import Group, moved
from permitgen.documents.labels.measuring_bars import BAR_HEIGHT_MM, NO_CORRECTION, PrinterCorrection, small_bar, upright
from permitgen.documents.labels.stock import LabelStock

_LENGTH_MM = 120.0
"""How much of a roll or tape is printed."""


def print_test_form(stock: LabelStock, correction: PrinterCorrection = NO_CORRECTION) -> tuple[Page, tuple[str, str]]:
    """Return the page with a bar in each direction, as long as the stock takes, and what they must measure: across and along the page."""
    width = _LENGTH_MM if stock.kind == "tape" else stock.width_mm
    height = _LENGTH_MM if stock.kind == "roll" else stock.height_mm
    room = BAR_HEIGHT_MM if min(width, height) > 3 * BAR_HEIGHT_MM else 0.0
    level, length, across = small_bar(width - room)
    standing, rise, along = small_bar(height)
    bars = (
        Group((level,), transform=moved(room + (width - room - length) / 2, height / 2)),
        upright(standing, 4.6 if room else 4.0, height / 2 + rise / 2),
    )
    return Page(width, height, (Group(bars, transform=correction.about(width / 2, height / 2)),), title="Print test"), (across, along)
