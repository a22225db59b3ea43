"""The frame of a sheet: border, zones, title block at the right, and the room that is left for the drawing."""

from __future__ import annotations

from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.page import ANSI_B, ANSI_C, ANSI_D, ARCH_C, ARCH_D, LETTER, TABLOID, PaperSize
from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import EXTRA_WIDE, FINE, MM_PER_INCH
from permitgen.documents.sheets.lettering import LETTERING

PAPERS: dict[str, PaperSize] = {
    "ANSI B": ANSI_B,
    "ANSI C": ANSI_C,
    "ANSI D": ANSI_D,
    "Arch C": ARCH_C,
    "Arch D": ARCH_D,
    "letter": LETTER.turned(),
    "tabloid": TABLOID.turned(),
}
_BINDING_MM = 5 / 8 * MM_PER_INCH
_MARGIN_MM = 3 / 8 * MM_PER_INCH
_PADDING_MM = 2.5
_ZONE_MM = 55.0
"""About how long a zone is; the count is even so that the middle of the sheet is a limit."""
_SMALL_PAPER_MM = 300.0
_STRIPS_MM = ((_SMALL_PAPER_MM, 55.0), (500.0, 61.0))
"""How wide the title block is on papers that are no wider than this: no wider on a small one than a seal of two inches needs."""
_WIDEST_STRIP_MM = 89.0


@dataclass(frozen=True, slots=True)
class Frame:
    """Where things go on one paper: ``border`` around all, ``block`` for the title block, ``drawing`` for the drawing."""

    paper: PaperSize
    border: Box
    block: Box
    drawing: Box

    def drawing_below(self, height_mm: float) -> Frame:
        """Return the frame with a strip of the drawing's room taken at the top."""
        box = self.drawing
        return Frame(self.paper, self.border, self.block, Box(box.left, box.top + height_mm, box.right, box.bottom))


def frame_of(paper: PaperSize) -> Frame:
    """Return the frame of a paper lying on its long side; a small one has no wider margin to be bound at."""
    left = _MARGIN_MM if paper.width_mm < _SMALL_PAPER_MM else _BINDING_MM
    border = Box(left, _MARGIN_MM, paper.width_mm - _MARGIN_MM, paper.height_mm - _MARGIN_MM)
    width = next((width for most, width in _STRIPS_MM if paper.width_mm < most), _WIDEST_STRIP_MM)
    block = Box(border.right - width, border.top, border.right, border.bottom)
    inside = Box(border.left, border.top, block.left, border.bottom)
    return Frame(paper, border, block, inside.grown(-_PADDING_MM))


def frame_shapes(frame: Frame) -> tuple[Shape, ...]:
    """Return border, zones and the line of the title block."""
    border, block = frame.border, frame.block
    edge = Line(block.left, block.top, block.left, block.bottom, EXTRA_WIDE)
    return (rectangle(border.left, border.top, border.width, border.height, pen=EXTRA_WIDE), edge, *_zones(frame))


def _zones(frame: Frame) -> list[Shape]:
    """Numbers along the top and bottom, letters up the sides, as ASME Y14.1 has them (from memory)."""
    border, style = frame.border, LETTERING.text
    shapes: list[Shape] = []
    columns, rows = _even(border.width), _even(border.height)
    middle = style.cap_height_mm / 2
    for index in range(columns):
        left = border.left + index * border.width / columns
        x, name = left + border.width / columns / 2, str(columns - index)
        shapes += [
            Text(x, _MARGIN_MM / 2 + middle, name, style, "middle"),
            Text(x, border.bottom + _MARGIN_MM / 2 + middle, name, style, "middle"),
        ]
        if index:
            shapes += [Line(left, border.top - 3.0, left, border.top, FINE), Line(left, border.bottom, left, border.bottom + 3.0, FINE)]
    for index in range(rows):
        top = border.top + index * border.height / rows
        y, name = top + border.height / rows / 2 + middle, chr(ord("A") + rows - 1 - index)
        shapes += [Text(border.left - 4.5, y, name, style, "middle"), Text(border.right + _MARGIN_MM / 2, y, name, style, "middle")]
        if index:
            shapes += [Line(border.left - 3.0, top, border.left, top, FINE), Line(border.right, top, border.right + 3.0, top, FINE)]
    return shapes


def zone_at(frame: Frame, x: float, y: float) -> str:
    """Return the zone of a point by the letter at the side and the number above it, ``B4``."""
    border = frame.border
    columns, rows = _even(border.width), _even(border.height)
    across = min(columns - 1, max(0, int((x - border.left) / border.width * columns)))
    down = min(rows - 1, max(0, int((y - border.top) / border.height * rows)))
    return f"{chr(ord('A') + rows - 1 - down)}{columns - across}"


def _even(length: float) -> int:
    return max(2, 2 * round(length / _ZONE_MM / 2))
