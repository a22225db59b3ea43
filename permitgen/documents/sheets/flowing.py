"""Schedules and notes that flow over columns and sheets.

Headings, paragraphs, numbered notes and tables in the lettering of the plan set.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.colors import MID_GRAY
from permitgen.documents.canvas.shapes import Shape, Text
from permitgen.documents.canvas.strips import Strip, column_shapes, deal_to_pages, stacked, together
from permitgen.documents.canvas.styles import FINE, MEDIUM, Pen
from permitgen.documents.canvas.table import Align, Cell, Column, Row, Table, TableStyle, column_widths, table_strips
from permitgen.documents.canvas.text_flow import Span, break_lines, flow_lines, line_shapes
from permitgen.documents.canvas.typography import plain_text
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.clouds import BULGE_MM, CLEAR_MM, FAULT_PEN, cloud
from permitgen.documents.symbols.markers import DELTA_SIDE_MM, delta, fault, fault_width

SCHEDULE = TableStyle(
    text=LETTERING.text,
    head=LETTERING.strong,
    section=LETTERING.strong,
    leading_mm=LETTERING.leading_mm,
    pad_x_mm=1.2,
    pad_y_mm=0.25,
    rules="grid",
    row_pen=Pen(FINE.width_mm, MID_GRAY),
    head_pen=MEDIUM,
)
"""The look of every schedule."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading in the text of a sheet."""

    words: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text; ``bookmark`` makes it a link to a sheet."""

    words: str
    is_strong: bool = False
    bookmark: str = ""


@dataclass(frozen=True, slots=True)
class Notes:
    """Numbered notes; ``numbers`` are their own where they are not 1, 2, 3."""

    items: tuple[str, ...]
    numbers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Figure:
    """Shapes with their origin at the top left of the column, ``height_mm`` tall."""

    shapes: tuple[Shape, ...]
    height_mm: float


Block = Heading | Paragraph | Notes | Figure | Table


def schedule(
    headings: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    shares: Sequence[float] = (),
    aligns: Sequence[Align] = (),
    marks: Sequence[str] | None = None,
    faults: Sequence[tuple[str, ...]] = (),
) -> Table:
    """Return a table in the look of the schedules; a share of 0 gives a column its natural width.

    ``marks`` holds for each row the number of the revision that changed it, None where a table never shows them; ``faults`` those of the
    violations that name what it tells of.
    """
    wide = list(shares) or [0.0] * len(headings)
    sides: list[Align] = list(aligns) or ["left"] * len(headings)
    columns = tuple(Column(heading, share=share, align=side) for heading, share, side in zip(headings, wide, sides, strict=True))
    changed = list(marks or ()) or [""] * len(rows)
    violated = list(faults) or [()] * len(rows)
    marked = (Row(tuple(row), mark=mark, faults=fault) for row, mark, fault in zip(rows, changed, violated, strict=True))
    return Table(columns, tuple(marked), SCHEDULE, 0.0 if marks is None else DELTA_SIDE_MM + CLEAR_MM)


@lru_cache(maxsize=512)
def natural_widths(table: Table) -> tuple[float, ...]:
    """Return the natural widths of all columns; measured once for each table."""
    return column_widths(replace(table, columns=tuple(replace(column, share=0.0) for column in table.columns)), 1e6)


def natural_width(table: Table) -> float:
    """Return the width of a table all of whose columns have their natural width, with room for the deltas beside it."""
    return sum(natural_widths(table)) + delta_room(table)


def cell_words(row: Row) -> tuple[str, ...]:
    """Return the plain words of the cells of a row."""
    return tuple(plain_text(cell.words if isinstance(cell, Cell) else cell) for cell in row.cells)


def delta_room(table: Table) -> float:
    """Return the room at the right of a table for the deltas of changed rows and the numbers of violated ones."""
    faults = max((fault_width(row.faults) + CLEAR_MM + 1.0 for row in table.rows if row.faults), default=0.0)
    return table.mark_room_mm + faults


def strips_of(blocks: Sequence[Block], width: float, tallest: float = 1e6) -> list[Strip]:
    """Return blocks as strips of a column."""
    strips: list[Strip] = []
    for block in blocks:
        strips.extend(_strips(block, width, tallest))
    return strips


def _strips(block: Block, width: float, tallest: float) -> Sequence[Strip]:
    match block:
        case Heading(words):
            return _heading(words, width)
        case Paragraph(words, is_strong, bookmark):
            return _paragraph(words, width, bookmark, is_strong=is_strong)
        case Notes(items, numbers):
            counted = numbers or tuple(str(number) for number in range(1, len(items) + 1))
            return [strip for number, words in zip(counted, items, strict=True) for strip in _note(number, words, width)]
        case Figure(shapes, height):
            return (Strip(height, shapes, space_before=2.0),)
        case Table():
            own = min(width, natural_width(block)) if not any(column.share for column in block.columns) else width
            own -= delta_room(block)
            strips = _clouded(table_strips(block, own, tallest), own, has_deltas=block.mark_room_mm > 0.0)
            return (replace(strips[0], space_before=1.6), *strips[1:]) if strips else ()
    return ()


def _clouded(strips: Sequence[Strip], width: float, *, has_deltas: bool) -> Sequence[Strip]:
    """Put clouds around changed rows and red ones around violated rows that follow each other, with mark or numbers beside the first."""
    beyond = width + CLEAR_MM + (DELTA_SIDE_MM + CLEAR_MM if has_deltas else 0.0)
    found: list[Strip] = []
    for index, strip in enumerate(strips):
        before = strips[index - 1] if index else None
        after = strips[index + 1] if index < len(strips) - 1 else None
        under: list[Shape] = []
        beside: list[Shape] = []
        if strip.mark:
            is_first, is_last = before is None or not before.mark, after is None or not after.mark
            under += _row_cloud(strip, (0.95, width - 0.4), MEDIUM, is_first=is_first, is_last=is_last)
            beside += delta(strip.mark).at(width + CLEAR_MM + DELTA_SIDE_MM / 2, strip.height / 2 + 1.0) if is_first else ()
        if strip.faults:
            is_first, is_last = before is None or before.faults != strip.faults, after is None or after.faults != strip.faults
            under += _row_cloud(strip, (0.6, width - 0.2), FAULT_PEN, is_first=is_first, is_last=is_last)
            beside += fault(strip.faults).at(beyond + fault_width(strip.faults) / 2, strip.height / 2) if is_first else ()
        # The cloud lies under the words.
        found.append(replace(strip, shapes=(*under, *strip.shapes, *beside)) if under else strip)
    return found


def _row_cloud(strip: Strip, sides: tuple[float, float], pen: Pen, *, is_first: bool, is_last: bool) -> tuple[Shape, ...]:
    """Return the cloud of a row from its left to its right side, open where the row beside it is in the same cloud.

    Rows have as much air above their capitals as below their baseline, so that the line between two rows is midway between their letters:
    half of each arc lies above it, half below.
    """
    left, right = sides
    top, bottom = BULGE_MM / 2 if is_first else 0.0, strip.height - (BULGE_MM / 2 if is_last else 0.0)
    return cloud(Box(left, top, right, bottom), pen, has_top=is_first, has_bottom=is_last)


def _heading(words: str, width: float) -> Sequence[Strip]:
    style, leading = LETTERING.heading, LETTERING.heading_leading_mm
    lines = break_lines(words.upper(), style, width)
    strips = [Strip(leading, (Text(0.0, (leading + style.cap_height_mm) / 2, line, style),), keep_with_next=True) for line in lines]
    strips[0] = replace(strips[0], space_before=5.0)
    return strips


def _paragraph(words: str, width: float, bookmark: str, *, is_strong: bool) -> Sequence[Strip]:
    style, leading = LETTERING.strong if is_strong else LETTERING.text, LETTERING.leading_mm
    spans = (Span(words, style, link=f"#{bookmark}" if bookmark else ""),)
    lines = flow_lines(spans, width)
    strips = [Strip(leading, line_shapes(line, 0.0, (leading + style.cap_height_mm) / 2, line.width)) for line in lines]
    strips[0] = replace(strips[0], space_before=1.2)
    return together(strips)


_INDENT_MM = 7.0


def _note(number: str, words: str, width: float) -> Sequence[Strip]:
    style, leading = LETTERING.text, LETTERING.leading_mm
    baseline = (leading + style.cap_height_mm) / 2
    strips = [Strip(leading, (Text(_INDENT_MM, baseline, line, style),)) for line in break_lines(words, style, width - _INDENT_MM)]
    strips[0] = replace(strips[0], shapes=(Text(0.0, baseline, f"{number}.", style), *strips[0].shapes), space_before=0.6)
    return together(strips)


def placed_block(blocks: Sequence[Block], width: float) -> tuple[tuple[Shape, ...], float, float]:
    """Return blocks as shapes with the origin at their top left, their width and height: for placing beside a drawing."""
    strips = strips_of(blocks, width)
    placed, height = stacked([replace(strips[0], space_before=0.0), *strips[1:]])
    return column_shapes(placed, 0.0, 0.0), width, height


def flow_over_sheets(blocks: Sequence[Block], room: Box, *, columns: int = 1, gap_mm: float = 8.0) -> tuple[tuple[Shape, ...], ...]:
    """Deal blocks to columns and sheets; return the shapes of each sheet."""
    if not blocks:
        return ()
    width = (room.width - gap_mm * (columns - 1)) / columns
    dealt = deal_to_pages(strips_of(blocks, width, room.height), room.height)
    sheets: list[tuple[Shape, ...]] = []
    for start in range(0, len(dealt), columns):
        shapes: list[Shape] = []
        for index, column in enumerate(dealt[start : start + columns]):
            shapes += column_shapes(column, room.left + index * (width + gap_mm), room.top)
        sheets.append(tuple(shapes))
    return tuple(sheets)
