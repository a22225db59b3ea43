"""Ruled tables as shapes: wrapped cells, columns of fixed, natural or shared width, numbers aligned on the point."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from permitgen.documents.canvas.colors import LIGHT_GRAY, PALE_GRAY, Color
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.shapes import Bookmark, Line, Shape
from permitgen.documents.canvas.strips import Strip, column_shapes, stacked
from permitgen.documents.canvas.styles import HAIRLINE, RULE, Pen, TextStyle
from permitgen.documents.canvas.text_flow import NO_BREAK_SPACE, SetLine, flow_lines, line_shapes
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.typography import SCALE, Words, plain_text, spans_of

Align = Literal["left", "center", "right", "point"]
_ANCHORS: dict[Align, Literal["start", "middle", "end"]] = {"left": "start", "center": "middle", "right": "end", "point": "end"}


@dataclass(frozen=True, slots=True)
class Column:
    """A column: ``width_mm`` fixes its width; otherwise it takes ``share`` of what is left, or with share 0 its natural width."""

    heading: Words = ""
    width_mm: float | None = None
    share: float = 1.0
    align: Align = "left"


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell that differs from its column: ``span`` counts the columns it covers, ``indent_mm`` sets its text in."""

    words: Words
    span: int = 1
    align: Align | None = None
    fill: Color | None = None
    indent_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Row:
    """One row. ``kind`` sets the weight: a heading row within the table, a body row, or a total below a rule.

    ``keep_with_next`` holds the row on one page with what follows it, the next row or the next block; a row that is not
    ``is_ruled`` has no line below it. ``mark`` and ``faults`` go on to its strips.
    """

    cells: tuple[Words | Cell, ...]
    kind: Literal["body", "section", "total"] = "body"
    least_height_mm: float = 0.0
    fill: Color | None = None
    bookmark: str = ""
    keep_with_next: bool = False
    is_ruled: bool = True
    mark: str = ""
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TableStyle:
    """Type, padding and rules of a table. ``rules``: hairlines below rows, a full grid, or none."""

    text: TextStyle = SCALE.table
    head: TextStyle = SCALE.table_head
    section: TextStyle = SCALE.table_section
    leading_mm: float = SCALE.table_leading_mm
    pad_x_mm: float = 1.6
    pad_y_mm: float = 1.1
    rules: Literal["rows", "grid", "none"] = "rows"
    row_pen: Pen = HAIRLINE
    head_pen: Pen = RULE


PLAIN = TableStyle()
BARE = TableStyle(rules="none", pad_x_mm=0.8, pad_y_mm=0.3)


@dataclass(frozen=True, slots=True)
class Table:
    """A table of columns and rows; the heading row is left out when no column has a heading.

    ``mark_room_mm`` is kept at its right for marks, whether there are any or not, so that a mark moves nothing.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    style: TableStyle = PLAIN
    mark_room_mm: float = 0.0


def row(*cells: Words | Cell) -> Row:
    """Return a body row of these cells."""
    return Row(cells)


def column_widths(table: Table, width_mm: float) -> tuple[float, ...]:
    """Return the width of each column in mm. Natural columns give way first when there is too little room."""
    fixed = [_own_width(table, index) for index in range(len(table.columns))]
    free = width_mm - sum(width for width in fixed if width is not None)
    shares = sum(column.share for column, width in zip(table.columns, fixed, strict=True) if width is None)
    if shares:
        return tuple(
            max(free, 0.0) * column.share / shares if width is None else width for column, width in zip(table.columns, fixed, strict=True)
        )
    total = sum(width for width in fixed if width is not None)
    squeeze = min(1.0, width_mm / total)
    return tuple((width or 0.0) * squeeze for width in fixed)


def _own_width(table: Table, index: int) -> float | None:
    column = table.columns[index]
    if column.width_mm is not None:
        return column.width_mm
    if column.share:
        return None
    style = table.style
    widths = [_natural_width(column.heading, style.head)]
    for table_row in table.rows:
        position = 0
        for cell in table_row.cells:
            span = cell.span if isinstance(cell, Cell) else 1
            if position == index and span == 1:
                widths.append(_natural_width(cell.words if isinstance(cell, Cell) else cell, _row_style(table_row, style)))
            position += span
    return max(widths) + 2 * style.pad_x_mm


def _natural_width(words: Words, style: TextStyle) -> float:
    lines = flow_lines(spans_of(words, style), 1e6)
    return max((line.width for line in lines), default=0.0)


def _row_style(table_row: Row, style: TableStyle) -> TextStyle:
    return style.text if table_row.kind == "body" else style.section


def table_strips(table: Table, width_mm: float, tallest_mm: float = 1e6) -> tuple[Strip, ...]:
    """Return the table as strips: the heading row, then one strip a row that repeats the heading on a new page.

    A row taller than ``tallest_mm`` less the heading is cut between its lines.
    """
    layout = _TableLayout(table, column_widths(table, width_mm))
    head = layout.head()
    tallest = tallest_mm - sum(strip.height for strip in head)
    body: list[Strip] = []
    for index, table_row in enumerate(table.rows):
        body.extend(replace(strip, repeats=head) for strip in layout.row_strips(table_row, tallest))
        if table_row.keep_with_next or (table_row.kind == "section" and index < len(table.rows) - 1):
            body[-1] = replace(body[-1], keep_with_next=True)
    return (*(replace(strip, keep_with_next=True) for strip in head), *body)


def table_shapes(table: Table, x: float, y: float, width_mm: float) -> tuple[tuple[Shape, ...], float]:
    """Return the shapes of the whole table with its top left corner at (x, y), and its height in mm."""
    placed, height = stacked(table_strips(table, width_mm))
    return column_shapes(placed, x, y), height


class _TableLayout:
    def __init__(self, table: Table, widths: tuple[float, ...]) -> None:
        self.table = table
        self.style = table.style
        self.widths = widths
        self.width = sum(widths)
        self.after_points = tuple(self._after_point(index) for index in range(len(widths)))

    def head(self) -> tuple[Strip, ...]:
        if not any(plain_text(column.heading) for column in self.table.columns):
            return ()
        cells = tuple(Cell(column.heading, align=column.align) for column in self.table.columns)
        lines = self._cell_lines(cells, self.style.head)
        height = self._height_of(lines)
        shapes = list(self._cell_texts(cells, lines, self.style.head))
        if self.style.rules == "grid":
            shapes = [rectangle(0, 0, self.width, height, fill=PALE_GRAY), *shapes, *self._grid(cells, height)]
            shapes.append(Line(0, 0, self.width, 0, self.style.row_pen))
        if self.style.rules != "none":
            shapes.append(Line(0, height, self.width, height, self.style.head_pen))
        return (Strip(height, tuple(shapes)),)

    def row_strips(self, table_row: Row, tallest_mm: float) -> list[Strip]:
        cells = tuple(cell if isinstance(cell, Cell) else Cell(cell) for cell in table_row.cells)
        style = _row_style(table_row, self.style)
        lines = self._cell_lines(cells, style)
        fitting = max(1, int((tallest_mm - 2 * self.style.pad_y_mm) / self.style.leading_mm))
        count = max((len(cell_lines) for cell_lines in lines), default=1)
        strips: list[Strip] = []
        for first in range(0, max(count, 1), fitting):
            part = tuple(cell_lines[first : first + fitting] for cell_lines in lines)
            height = max(self._height_of(part), table_row.least_height_mm)
            strips.append(Strip(height, self._row_shapes(table_row, cells, part, height), mark=table_row.mark, faults=table_row.faults))
        return strips

    def _row_shapes(self, table_row: Row, cells: tuple[Cell, ...], lines: Sequence[Sequence[SetLine]], height: float) -> tuple[Shape, ...]:
        style = self.style
        shapes: list[Shape] = []
        if table_row.fill:
            shapes.append(rectangle(0, 0, self.width, height, fill=table_row.fill))
        for cell, (left, width) in zip(cells, self._places(cells), strict=True):
            if cell.fill:
                shapes.append(rectangle(left, 0, width, height, fill=cell.fill))
        shapes.extend(self._cell_texts(cells, lines, _row_style(table_row, style), height))
        if style.rules == "grid":
            shapes.extend(self._grid(cells, height))
        if style.rules != "none":
            shapes.extend(self._row_rules(table_row, height))
        if table_row.bookmark:
            shapes.append(Bookmark(table_row.bookmark, "", 0.0))
        return tuple(shapes)

    def _row_rules(self, table_row: Row, height: float) -> Iterator[Line]:
        if table_row.kind == "total":
            yield Line(0, 0, self.width, 0, self.style.head_pen)
        if table_row.is_ruled:
            yield Line(0, height, self.width, height, self.style.row_pen)

    def _places(self, cells: Sequence[Cell]) -> list[tuple[float, float]]:
        """Left edge and width of each cell."""
        places: list[tuple[float, float]] = []
        position, left = 0, 0.0
        for cell in cells:
            width = sum(self.widths[position : position + cell.span])
            places.append((left, width))
            left += width
            position += cell.span
        return places

    def _cell_lines(self, cells: Sequence[Cell], style: TextStyle) -> tuple[tuple[SetLine, ...], ...]:
        return tuple(
            flow_lines(spans_of(cell.words, style), max(width, 1.0))
            for cell, (_, width) in zip(cells, self._text_places(cells), strict=True)
        )

    def _text_places(self, cells: Sequence[Cell]) -> list[tuple[float, float]]:
        """Left edge and width of each cell's text. Without a grid the outer columns align with the text around the table."""
        pad = self.style.pad_x_mm
        outer_pad = pad if self.style.rules == "grid" else 0.0
        places: list[tuple[float, float]] = []
        for cell, (left, width) in zip(cells, self._places(cells), strict=True):
            before = (outer_pad if left == 0.0 else pad) + cell.indent_mm
            after = outer_pad if left + width >= self.width - 1e-6 else pad
            places.append((left + before, width - before - after))
        return places

    def _height_of(self, lines: Sequence[Sequence[SetLine]]) -> float:
        count = max((len(cell_lines) for cell_lines in lines), default=1)
        return max(count, 1) * self.style.leading_mm + 2 * self.style.pad_y_mm

    def _baseline(self, style: TextStyle) -> float:
        """Distance of the first baseline from the top of the row, so that capitals stand in the middle of their line."""
        return self.style.pad_y_mm + (self.style.leading_mm + style.cap_height_mm) / 2

    def _cell_texts(self, cells: Sequence[Cell], lines: Sequence[Sequence[SetLine]], style: TextStyle, height: float = 0.0) -> list[Shape]:
        """Return the texts of a row; a row taller than its text has it in the middle. ``height`` 0: the heading row."""
        shapes: list[Shape] = []
        lowered = max(0.0, (height - self._height_of(lines)) / 2)
        position = 0
        for cell, cell_lines, (left, width) in zip(cells, lines, self._text_places(cells), strict=True):
            align = cell.align or self.table.columns[position].align
            for index, line in enumerate(cell_lines):
                room = width
                if align == "point" and height and cell.span == 1:
                    before_point = _width_to_point(line.text, style)
                    room = max(line.width, width - self.after_points[position] + line.width - before_point)
                baseline = self._baseline(style) + lowered + index * self.style.leading_mm
                shapes.extend(line_shapes(line, left, baseline, room, _ANCHORS[align]))
            position += cell.span
        return shapes

    def _after_point(self, index: int) -> float:
        """Width of the longest part after the decimal point in a column, so that all points can stand in one line."""
        if self.table.columns[index].align != "point":
            return 0.0
        after = 0.0
        for table_row in self.table.rows:
            position, style = 0, _row_style(table_row, self.style)
            for cell in table_row.cells:
                span = cell.span if isinstance(cell, Cell) else 1
                if position == index and span == 1:
                    text = plain_text(cell.words if isinstance(cell, Cell) else cell)
                    after = max(after, text_width(text, style) - _width_to_point(text, style))
                position += span
        return after

    def _grid(self, cells: Sequence[Cell], height: float) -> list[Line]:
        pen = self.style.row_pen
        inner = [Line(left, 0, left, height, pen) for left, _ in self._places(cells)]
        return [*inner, Line(self.width, 0, self.width, height, pen)]


def _width_to_point(text: str, style: TextStyle) -> float:
    """Width of a number up to its decimal point, or up to its end when it has none."""
    number = text.replace(NO_BREAK_SPACE, " ").split(" ", 1)[0]
    return text_width(number.split(".", 1)[0], style)


GRID = TableStyle(rules="grid", row_pen=Pen(0.18, LIGHT_GRAY))
