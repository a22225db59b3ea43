"""Draws the hanging plan on letter sheets: each wall with the numbers on it, and below it a table with a box to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.colors import BLACK, DARK_GRAY
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.page import LETTER, Document, Page
from permitgen.documents.canvas.shapes import Group, Line, Shape, Text, moved, scaled
from permitgen.documents.canvas.styles import FINE, MEDIUM, THIN, points
from permitgen.documents.canvas.text_flow import break_lines
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.fonts.faces import CONDENSED_BOLD, CONDENSED_MEDIUM
from permitgen.documents.gate_mark import marked_page
from permitgen.documents.label_walls import label_wall_shapes
from permitgen.documents.symbols.clouds import CLEAR_MM, FAULT_PEN, cloud
from permitgen.documents.symbols.markers import fault, fault_width

if TYPE_CHECKING:
    from permitgen.views.hanging_plan import HangingItem, HangingPlace, HangingPlan

_MARGIN_MM, _FOOT_MM = 14.0, 14.0
_WIDTH_MM = LETTER.width_mm - 2 * _MARGIN_MM
_MOST_PICTURE_MM = 74.0
_TITLE, _HEADING = points(CONDENSED_BOLD, 16, BLACK), points(CONDENSED_BOLD, 12, BLACK)
_HEAD, _CELL, _STRONG = points(CONDENSED_BOLD, 8, DARK_GRAY), points(CONDENSED_MEDIUM, 9.5, BLACK), points(CONDENSED_BOLD, 9.5, BLACK)
_SMALL = points(CONDENSED_MEDIUM, 8, DARK_GRAY)
_LINE_MM, _BOX_MM = 4.3, 3.6
_COLUMNS = (
    ("", 7.0),
    ("NO.", 10.0),
    ("LABEL OR PLATE", 52.0),
    ("ON", 17.0),
    ("SIZE", 24.0),
    ("MATERIAL", 15.0),
    ("INK", 29.0),
    ("PIECES", 12.0),
    ("DOCUMENT ID", 21.0),
)


@dataclass(slots=True)
class _Sheets:
    """Pages that are filled from the top down."""

    pages: list[list[Shape]] = field(default_factory=lambda: [[]])
    y: float = _MARGIN_MM

    def room(self, height: float) -> None:
        """Begin a new page where ``height`` mm do not fit on this one."""
        if self.y + height > LETTER.height_mm - _FOOT_MM:
            self.pages.append([])
            self.y = _MARGIN_MM

    def add(self, *shapes: Shape) -> None:
        """Put shapes on the page."""
        self.pages[-1].extend(shapes)


def hanging_plan_pdf(plan: HangingPlan, mark: str = "") -> bytes:
    """Return ``hanging_plan.pdf``; ``mark`` says that nothing is to be hung, empty where it is: then nothing is clouded either."""
    sheets = _Sheets()
    _front(plan, sheets)
    for place in plan.places:
        _place(place, sheets, has_clouds=bool(mark))
    _notes("Take down", plan.down, sheets)
    _notes("New in this revision", plan.up, sheets)
    _notes("Materials", tuple((letter, note) for letter, note in plan.materials), sheets, is_ticked=False)
    count = len(sheets.pages)
    pages = [
        Page(
            LETTER.width_mm,
            LETTER.height_mm,
            (*shapes, *_foot(plan, number, count)),
            title=f"Hanging plan, page {number}",
            label=str(number),
        )
        for number, shapes in enumerate(sheets.pages, start=1)
    ]
    return pdf_bytes(Document(tuple(marked_page(page, mark) for page in pages), title=f"Hanging plan, {plan.title.project}"))


def _front(plan: HangingPlan, sheets: _Sheets) -> None:
    sheets.add(Text(_MARGIN_MM, sheets.y + 6.0, "Hanging plan", _TITLE))
    sheets.add(Text(_MARGIN_MM, sheets.y + 11.5, f"{plan.title.project}, revision {plan.title.revision}", _CELL))
    words = "Numbers are those of the label schedule and of the field checklist. Tick the box when the label or plate hangs."
    sheets.add(Text(_MARGIN_MM, sheets.y + 16.0, words, _SMALL))
    sheets.y += 22.0


def _place(place: HangingPlace, sheets: _Sheets, *, has_clouds: bool) -> None:
    picture, height = _picture(place)
    sheets.room(8.0 + height + 2 * _LINE_MM + _row_height(place.items[0]) if place.items else 8.0 + height)
    for number, line in enumerate(break_lines(place.title, _HEADING, _WIDTH_MM)):
        sheets.add(Text(_MARGIN_MM, sheets.y + 5.0 + number * 5.5, line, _HEADING))
        sheets.y += 5.5 if number else 0.0
    sheets.y += 8.0
    if picture is not None:
        sheets.add(Group((picture,), transform=moved(_MARGIN_MM, sheets.y)))
        sheets.y += height + 2.0
    _table_head(sheets)
    for item in place.items:
        sheets.y += CLEAR_MM if item.denied_by and has_clouds else 0.0
        if sheets.y + _row_height(item) > LETTER.height_mm - _FOOT_MM:
            sheets.room(LETTER.height_mm)
            _table_head(sheets)
        _row(item, sheets, is_clouded=bool(item.denied_by) and has_clouds)
    sheets.y += 5.0


def _picture(place: HangingPlace) -> tuple[Group | None, float]:
    if place.wall is None:
        return None, 0.0
    shapes, width, height = label_wall_shapes(place.wall)
    factor = min(_WIDTH_MM / width, _MOST_PICTURE_MM / height)
    return Group(shapes, transform=scaled(factor)), height * factor


def _table_head(sheets: _Sheets) -> None:
    x = _MARGIN_MM
    for words, width in _COLUMNS:
        sheets.add(Text(x, sheets.y + 3.0, words, _HEAD))
        x += width
    sheets.add(Line(_MARGIN_MM, sheets.y + 4.2, _MARGIN_MM + _WIDTH_MM, sheets.y + 4.2, MEDIUM))
    sheets.y += 5.4


def _cells(item: HangingItem) -> list[tuple[str, ...]]:
    texts = (item.number, item.name, item.on, item.size, item.material, item.ink, str(item.pieces), item.document_id)
    return [tuple(break_lines(text, _CELL, width - 1.5)) if text else () for text, (_, width) in zip(texts, _COLUMNS[1:], strict=True)]


def _row_height(item: HangingItem) -> float:
    return max(len(lines) for lines in _cells(item)) * _LINE_MM + 1.6


def _row(item: HangingItem, sheets: _Sheets, *, is_clouded: bool) -> None:
    height = _row_height(item)
    sheets.add(rectangle(_MARGIN_MM, sheets.y + 0.4, _BOX_MM, _BOX_MM, pen=THIN))
    x = _MARGIN_MM + _COLUMNS[0][1]
    for index, (lines, (_, width)) in enumerate(zip(_cells(item), _COLUMNS[1:], strict=True)):
        style = _STRONG if index == 0 else _CELL
        sheets.add(*(Text(x, sheets.y + 3.4 + number * _LINE_MM, line, style) for number, line in enumerate(lines)))
        x += width
    if is_clouded:
        sheets.add(*_cloud(item.denied_by, Box(_MARGIN_MM, sheets.y, _MARGIN_MM + _WIDTH_MM, sheets.y + height - 0.8)))
        height += CLEAR_MM
    sheets.y += height
    sheets.add(Line(_MARGIN_MM, sheets.y - 0.4, _MARGIN_MM + _WIDTH_MM, sheets.y - 0.4, FINE))


def _cloud(numbers: tuple[str, ...], row: Box) -> tuple[Shape, ...]:
    """The red cloud around a row, with the numbers of what denies it in the margin beside it."""
    x, y = row.right + CLEAR_MM + fault_width(numbers) / 2, (row.top + row.bottom) / 2
    return (*cloud(row, FAULT_PEN), *fault(numbers).at(x, y))


def _notes(heading: str, rows: Sequence[tuple[str, ...]], sheets: _Sheets, *, is_ticked: bool = True) -> None:
    """A list below a heading, each row with a box to tick where something is to be done."""
    if not rows:
        return
    sheets.room(16.0)
    sheets.add(Text(_MARGIN_MM, sheets.y + 5.0, heading, _HEADING))
    sheets.y += 8.0
    for row in rows:
        lines = break_lines(", ".join(part for part in row[:-1] if part) + f": {row[-1]}", _CELL, _WIDTH_MM - 8.0)
        sheets.room(len(lines) * _LINE_MM + 1.6)
        if is_ticked:
            sheets.add(rectangle(_MARGIN_MM, sheets.y + 0.4, _BOX_MM, _BOX_MM, pen=THIN))
        sheets.add(*(Text(_MARGIN_MM + 7.0, sheets.y + 3.4 + number * _LINE_MM, line, _CELL) for number, line in enumerate(lines)))
        sheets.y += len(lines) * _LINE_MM + 1.6
    sheets.y += 4.0


def _foot(plan: HangingPlan, number: int, count: int) -> tuple[Shape, ...]:
    y = LETTER.height_mm - 8.0
    words = f"Hanging plan, revision {plan.title.revision}, {plan.title.revision_date}. Document ID {plan.document_id}."
    right = LETTER.width_mm - _MARGIN_MM
    return (Text(_MARGIN_MM, y, words, _SMALL), Text(right, y, f"page {number} of {count}", _SMALL, "end"))
