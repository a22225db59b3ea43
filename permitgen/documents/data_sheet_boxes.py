"""Red boxes around rows of attached data sheets: where the words of a row stand on its page, and the frame drawn there.

The page itself stays as it was issued; the frame lies over it.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from permitgen.documents.pdf_of_others import BROKEN

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pypdf import PageObject

    from permitgen.views.data_sheets import SheetRow

_RED = "0.78 0.06 0.18 RG"
_PEN_PT, _PAD_PT = 1.4, 2.4
_SAME_LINE = 0.4
"""Texts whose baselines differ by less than this part of their size stand on one line."""
_ASCENT, _DESCENT = 0.8, 0.25


@dataclass(frozen=True, slots=True)
class RowBox:
    """Where a row stands, in points of its page: the number of the page from 0, left, bottom, width, height."""

    page: int
    left: float
    bottom: float
    width: float
    height: float


@dataclass(slots=True)
class _Line:
    """One line of text: its pieces by where they begin, its baseline, the size of its letters."""

    pieces: list[tuple[float, str]]
    y: float
    size: float

    @property
    def words(self) -> str:
        return _plain(" ".join(text for _, text in sorted(self.pieces)))


def row_boxes(data: bytes, rows: Sequence[SheetRow]) -> dict[SheetRow, RowBox]:
    """Return the box of each row that is found on its page of a PDF; a row that is not found has none.

    A page that cannot be read has no rows.
    """
    from pypdf import PdfReader

    pages = PdfReader(io.BytesIO(data)).pages
    lines = {row.page: _lines(pages[row.page - 1]) for row in rows if 0 < row.page <= len(pages)}
    found: dict[SheetRow, RowBox] = {}
    for row in rows:
        here = lines.get(row.page, [])
        line = _line_of(row, here)
        if line is not None:
            found[row] = _around(line, here, row.page - 1, pages[row.page - 1])
    return found


def _line_of(row: SheetRow, lines: Sequence[_Line]) -> _Line | None:
    """Return the line whose first cell is the words, else the only one that begins with them: of several none is boxed by chance."""
    words = _plain(row.words)
    cells = [each for each in lines if _plain(min(each.pieces)[1]) == words]
    begun = cells or [each for each in lines if each.words.startswith(words)]
    return begun[0] if len(begun) == 1 else None


def _around(line: _Line, lines: Sequence[_Line], page: int, sheet: PageObject) -> RowBox:
    """Return a box as wide as the text of the page: values stand at the far side of a row."""
    left = min(x for each in lines for x, _ in each.pieces)
    edge = float(sheet.mediabox.left)
    right = max(float(sheet.mediabox.right) - (left - edge), left + line.size)
    bottom = line.y - _DESCENT * line.size - _PAD_PT
    height = (_ASCENT + _DESCENT) * line.size + 2 * _PAD_PT
    return RowBox(page, left - _PAD_PT, bottom, right - left + 2 * _PAD_PT, height)


def _lines(page: PageObject) -> list[_Line]:
    from pypdf.errors import PyPdfError

    lines: list[_Line] = []

    def visit(text: str, cm: Sequence[float], tm: Sequence[float], _font: Any, size: float) -> None:
        if not text.strip():
            return
        x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
        y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
        tall = abs(size * (tm[3] or 1.0) * (cm[3] or 1.0)) or 1.0
        line = next((each for each in lines if abs(each.y - y) < _SAME_LINE * max(each.size, tall)), None)
        if line is None:
            lines.append(_Line([(x, text)], y, tall))
        else:
            line.pieces.append((x, text))

    try:
        page.extract_text(visitor_text=visit)
    except (PyPdfError, *BROKEN):
        return []
    return lines


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()


def draw_boxes(page: PageObject, boxes: Sequence[RowBox]) -> None:
    """Draw frames over a page."""
    from pypdf import PageObject as Page
    from pypdf.generic import DecodedStreamObject, NameObject

    drawn = " ".join(f"{box.left:.2f} {box.bottom:.2f} {box.width:.2f} {box.height:.2f} re S" for box in boxes)
    frames = DecodedStreamObject()
    frames.set_data(f"q {_RED} {_PEN_PT} w {drawn} Q".encode())
    over = Page.create_blank_page(width=float(page.mediabox.width), height=float(page.mediabox.height))
    over.mediabox = page.mediabox
    over[NameObject("/Contents")] = frames
    page.merge_page(over)
