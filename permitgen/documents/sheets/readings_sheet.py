"""G-003: what the department is asked where readings of the code differ, with boxes for its answers and lines to sign on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.canvas.shapes import Line, Polyline, Shape, Text
from permitgen.documents.canvas.styles import FINE, MEDIUM
from permitgen.documents.canvas.text_flow import break_lines
from permitgen.documents.sheets.flowing import Block, Figure, Heading, Paragraph
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.part import SheetPart
from permitgen.views.readings_to_confirm import READINGS_TITLE, READINGS_WORDS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.canvas.bounds import Box
    from permitgen.views.readings_to_confirm import AnswerRow, ReadingToConfirm

NUMBER = "G-003"
_WIDTH_MM = 150.0
_BOX_MM, _WORDS_MM, _AFTER_MM = 4.0, 7.0, 2.4
_SIGN_MM, _CAPTION_MM = 12.0, 4.2
# The share of the width that each line to write on takes, with its caption.
_TO_SIGN = ((0.36, "NAME AND SIGNATURE"), (0.36, "OFFICE"), (0.28, "DATE"))


def readings_part(readings: Sequence[ReadingToConfirm], room: Box) -> SheetPart:
    """Return each reading with its boxes and lines to sign; nothing where no verdict turns on a disputed one."""
    if not readings:
        return SheetPart(NUMBER)
    width = min(room.width, _WIDTH_MM)
    first, *others = (_reading(reading, width) for reading in readings)
    return SheetPart(NUMBER, groups=[(Heading(READINGS_TITLE), Paragraph(READINGS_WORDS), *first), *map(tuple, others)])


def _reading(reading: ReadingToConfirm, width: float) -> list[Block]:
    last: Block = Paragraph(reading.confirmed, is_strong=True) if reading.confirmed else _lines_to_sign(width)
    return [
        Heading(f"{reading.number}. {reading.question}"),
        Paragraph(f"Turns on it: {reading.decides}"),
        *([Paragraph(reading.assumed, is_strong=True)] if reading.assumed else []),
        *(_answer(answer, width) for answer in reading.answers),
        last,
        Paragraph(f"Name of this point in the project file: {reading.key}"),
    ]


def _answer(answer: AnswerRow, width: float) -> Figure:
    """A box to mark, the answer beside it, and below what the checks are by it."""
    room = width - _WORDS_MM
    leading, text, strong = LETTERING.leading_mm, LETTERING.text, LETTERING.strong
    lines = [(line, strong) for line in break_lines(answer.words, strong, room)]
    lines += [(line, text) for line in break_lines(answer.outcome, text, room)]
    shapes: list[Shape] = [Text(_WORDS_MM, leading * (index + 0.85), line, style) for index, (line, style) in enumerate(lines)]
    shapes.append(Polyline(((0.0, 0.4), (_BOX_MM, 0.4), (_BOX_MM, _BOX_MM + 0.4), (0.0, _BOX_MM + 0.4)), MEDIUM, closed=True))
    if answer.is_marked:
        shapes += [Line(0.8, 1.2, _BOX_MM - 0.8, _BOX_MM - 0.4, MEDIUM), Line(0.8, _BOX_MM - 0.4, _BOX_MM - 0.8, 1.2, MEDIUM)]
    return Figure(tuple(shapes), leading * len(lines) + _AFTER_MM)


def _lines_to_sign(width: float) -> Figure:
    shapes: list[Shape] = []
    left = 0.0
    for share, caption in _TO_SIGN:
        right = left + share * width - 4.0
        shapes += [Line(left, _SIGN_MM, right, _SIGN_MM, FINE), Text(left, _SIGN_MM + _CAPTION_MM, caption, LETTERING.text)]
        left += share * width
    return Figure(tuple(shapes), _SIGN_MM + _CAPTION_MM + 2.0)
