"""The title block: preparer, seal, approval stamp, project, codes, revisions, management, cautions, title, sheet number."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import FINE, MM_PER_INCH, THIN, TextStyle
from permitgen.documents.canvas.text_flow import NO_BREAK_SPACE, break_lines
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.sheets.frame import Frame
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.markers import delta
from permitgen.views.plan_sheets import RevisionRow, TitleBlock

SEAL_MM = 2 * MM_PER_INCH
_PAD_MM = 2.0
_LEAST_STAMP_MM = 40.0


@dataclass(frozen=True, slots=True)
class SheetName:
    """Number, title, scale and place in the set of one sheet; ``mark`` is the revision that changed it, empty where it did not."""

    number: str
    title: str
    scale: str = "NO SCALE"
    position: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True)
class _Cell:
    """One field of the block: how tall it is at a width, and what draws it into a box. Height None: takes what is left."""

    height: Callable[[float], float] | None
    draw: Callable[[Box], list[Shape]]


def title_block_shapes(block: TitleBlock, name: SheetName, frame: Frame) -> tuple[Shape, ...]:
    """Return the title block of one sheet."""
    return tuple(_strip(block, name, frame.block) if frame.block_at == "right" else _bottom(block, name, frame.block))


def _strip(block: TitleBlock, name: SheetName, box: Box) -> list[Shape]:
    """Cells from the top to the bottom of a strip; the approval stamp takes the height that is left."""
    cells = [_preparer(block), _seal(), _stamp(), _project(block), _codes(block), _revisions(block), _management(block), _status(block), _title(name), _number(name)]
    fixed = sum(cell.height(box.width) for cell in cells if cell.height is not None)
    rest = max(_LEAST_STAMP_MM, box.height - fixed)
    shapes: list[Shape] = []
    y = box.top
    for cell in cells:
        height = cell.height(box.width) if cell.height is not None else rest
        shapes += cell.draw(Box(box.left, y, box.right, y + height))
        y += height
        if y < box.bottom - 0.1:
            shapes.append(Line(box.left, y, box.right, y, THIN))
    return shapes


def _bottom(block: TitleBlock, name: SheetName, box: Box) -> list[Shape]:
    """The same cells in columns along the bottom of a small sheet."""
    columns = (
        (50.0, (_preparer(block), _codes(block), _stretch(_status(block)))),
        (54.0, (_project(block), _stretch(_revisions(block)))),
        (SEAL_MM + 2 * _PAD_MM, (_seal(),)),
        (36.0, (_stamp(),)),
        (0.0, (_management(block), _stretch(_title(name)), _number(name))),
    )
    free = box.width - sum(width for width, _ in columns)
    shapes: list[Shape] = []
    x = box.left
    for width, cells in columns:
        right = x + (width or free)
        shapes += _column(cells, Box(x, box.top, right, box.bottom))
        x = right
        if x < box.right - 0.1:
            shapes.append(Line(x, box.top, x, box.bottom, THIN))
    return shapes


def _column(cells: Sequence[_Cell], box: Box) -> list[Shape]:
    fixed = sum(cell.height(box.width) for cell in cells if cell.height is not None)
    shapes: list[Shape] = []
    y = box.top
    for index, cell in enumerate(cells):
        height = cell.height(box.width) if cell.height is not None else box.height - fixed
        shapes += cell.draw(Box(box.left, y, box.right, y + height))
        y += height
        if index < len(cells) - 1:
            shapes.append(Line(box.left, y, box.right, y, THIN))
    return shapes


def _stretch(cell: _Cell) -> _Cell:
    return _Cell(None, cell.draw)


Styled = tuple[str, TextStyle]


def _wrapped(lines: Sequence[Styled], width: float) -> list[Styled]:
    return [(part, style) for text, style in lines for part in break_lines(text, style, width - 2 * _PAD_MM)]


def _text_cell(lines: Sequence[Styled]) -> _Cell:
    """A cell of lines of text, broken to its width."""
    leading = LETTERING.leading_mm

    def height(width: float) -> float:
        return len(_wrapped(lines, width)) * leading + 2 * _PAD_MM - 0.8

    def draw(box: Box) -> list[Shape]:
        y = box.top + _PAD_MM
        return [Text(box.left + _PAD_MM, y + index * leading + style.cap_height_mm, text, style) for index, (text, style) in enumerate(_wrapped(lines, box.width))]

    return _Cell(height, draw)


def _preparer(block: TitleBlock) -> _Cell:
    first, *others = block.preparer
    lines = [(first, LETTERING.strong), *((line, LETTERING.text) for line in _paired(others)), ("Preparer, not an engineering seal", LETTERING.text)]
    return _text_cell(lines)


def _paired(lines: Sequence[str]) -> list[str]:
    """Put a name and its licence on one line."""
    if len(lines) > 1 and lines[1].startswith("Licence"):
        return [f"{lines[0]}, {lines[1]}", *lines[2:]]
    return list(lines)


def _project(block: TitleBlock) -> _Cell:
    lines = [(block.project, LETTERING.strong), *((line, LETTERING.text) for line in block.site)]
    if block.owner:
        lines.append((f"Owner: {block.owner}", LETTERING.text))
    return _text_cell(lines)


def _codes(block: TitleBlock) -> _Cell:
    return _text_cell([("Codes: " + ", ".join(block.codes), LETTERING.text)])


def _status(block: TitleBlock) -> _Cell:
    return _text_cell([(block.status, LETTERING.strong)])


def _seal() -> _Cell:
    """An empty square for a seal. Nothing is ever printed into it."""

    def draw(box: Box) -> list[Shape]:
        left = (box.left + box.right) / 2 - SEAL_MM / 2
        top = box.top + _PAD_MM + LETTERING.leading_mm
        caption = Text((box.left + box.right) / 2, box.top + _PAD_MM + LETTERING.text.cap_height_mm, "FOR SEAL, IF REQUIRED", LETTERING.text, "middle")
        return [caption, rectangle(left, top, SEAL_MM, SEAL_MM, pen=FINE)]

    return _Cell(lambda _width: SEAL_MM + 2 * _PAD_MM + LETTERING.leading_mm, draw)


def _stamp() -> _Cell:
    """Free room for the authority's approval stamp."""

    def draw(box: Box) -> list[Shape]:
        return [Text((box.left + box.right) / 2, box.top + _PAD_MM + LETTERING.text.cap_height_mm, "APPROVAL STAMP", LETTERING.text, "middle")]

    return _Cell(None, draw)


_MOST_REVISIONS = 4


def _revisions(block: TitleBlock) -> _Cell:
    """The newest revisions, the newest at the bottom; older ones are listed on the cover."""
    rows = block.revisions[-_MOST_REVISIONS:]
    row_mm = 7.2

    def texts(row: RevisionRow, width: float) -> tuple[str, ...]:
        by = row.by.replace(" ", NO_BREAK_SPACE)
        words = ", ".join(part for part in (row.description, by) if part)
        return break_lines(f"{row.date}  {words}", LETTERING.text, width - 2 * _PAD_MM - 9.0)

    def row_height(row: RevisionRow, width: float) -> float:
        return max(row_mm, len(texts(row, width)) * LETTERING.leading_mm + 1.2)

    def height(width: float) -> float:
        return sum(row_height(row, width) for row in rows) + LETTERING.leading_mm + _PAD_MM + 1.0

    def draw(box: Box) -> list[Shape]:
        shapes: list[Shape] = [Text(box.left + _PAD_MM, box.top + _PAD_MM + LETTERING.text.cap_height_mm - 0.4, "REVISIONS", LETTERING.text)]
        y = box.top + LETTERING.leading_mm + _PAD_MM
        for row in rows:
            tall = row_height(row, box.width)
            shapes += delta(row.mark).at(box.left + _PAD_MM + 3.5, y + 4.6)
            for index, text in enumerate(texts(row, box.width)):
                shapes.append(Text(box.left + _PAD_MM + 9.0, y + 0.8 + index * LETTERING.leading_mm + LETTERING.text.cap_height_mm, text, LETTERING.text))
            y += tall
        return shapes

    return _Cell(height, draw)


def _management(block: TitleBlock) -> _Cell:
    """Two columns of names and values; long values take a line of their own."""
    pairs = block.management
    short = [(name, value) for name, value in pairs if len(value) < 13]
    long = [(name, value) for name, value in pairs if len(value) >= 13]

    def rows() -> int:
        return -(-len(short) // 2) + len(long)

    def draw(box: Box) -> list[Shape]:
        shapes: list[Shape] = []
        half = (box.width - 2 * _PAD_MM) / 2
        for index, (name, value) in enumerate(short):
            x = box.left + _PAD_MM + (index % 2) * half
            shapes += _pair(x, box.top + _PAD_MM + (index // 2) * LETTERING.leading_mm, name, value)
        top = box.top + _PAD_MM + -(-len(short) // 2) * LETTERING.leading_mm
        for index, (name, value) in enumerate(long):
            shapes += _pair(box.left + _PAD_MM, top + index * LETTERING.leading_mm, name, value)
        return shapes

    return _Cell(lambda _width: rows() * LETTERING.leading_mm + 2 * _PAD_MM - 0.8, draw)


def _pair(x: float, top: float, name: str, value: str) -> list[Shape]:
    baseline = top + LETTERING.text.cap_height_mm
    shapes: list[Shape] = [Text(x, baseline, name, LETTERING.text)]
    if value:
        shapes.append(Text(x + text_width(name + " ", LETTERING.text), baseline, value, LETTERING.strong))
    else:
        start = x + text_width(name + " ", LETTERING.text)
        shapes.append(Line(start, baseline + 0.6, start + 11.0, baseline + 0.6, FINE))
    return shapes


def _title(name: SheetName) -> _Cell:
    style = LETTERING.heading

    def lines(width: float) -> tuple[str, ...]:
        return break_lines(name.title.upper(), style, width - 2 * _PAD_MM)

    def height(width: float) -> float:
        return len(lines(width)) * LETTERING.heading_leading_mm + LETTERING.leading_mm + 2 * _PAD_MM - 0.8

    def draw(box: Box) -> list[Shape]:
        shapes: list[Shape] = []
        y = box.top + _PAD_MM
        for line in lines(box.width):
            shapes.append(Text(box.left + _PAD_MM, y + style.cap_height_mm, line, style))
            y += LETTERING.heading_leading_mm
        shapes.append(Text(box.left + _PAD_MM, y + LETTERING.text.cap_height_mm, f"Scale: {name.scale}", LETTERING.text))
        return shapes

    return _Cell(height, draw)


def _number(name: SheetName) -> _Cell:
    style = LETTERING.sheet_number

    def draw(box: Box) -> list[Shape]:
        low = box.bottom - _PAD_MM - 1.0
        sized = style if text_width(name.number, style) < box.width - 2 * _PAD_MM else LETTERING.title
        shapes: list[Shape] = [
            Text(box.left + _PAD_MM, box.top + _PAD_MM + LETTERING.text.cap_height_mm, f"Sheet {name.position}", LETTERING.text),
            Text(box.right - _PAD_MM, low, name.number, sized, "end"),
        ]
        if name.mark:
            shapes += delta(name.mark).at(box.right - _PAD_MM - 4.0, box.top + _PAD_MM + 1.5)
        return shapes

    return _Cell(lambda _width: style.cap_height_mm + LETTERING.leading_mm + 2 * _PAD_MM, draw)
