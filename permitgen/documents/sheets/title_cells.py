"""The fields of the title block. Each knows how tall it is at a width and draws itself into a box."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.shapes import Line, Shape, Text
from permitgen.documents.canvas.styles import FINE, MM_PER_INCH, TextStyle
from permitgen.documents.canvas.text_flow import NO_BREAK_SPACE, break_lines
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.markers import delta
from permitgen.views.plan_sheets import RevisionRow, TitleBlock

SEAL_MM = 2 * MM_PER_INCH
PAD_MM = 2.0
_CUT = "…"
_TITLE_LINES, _LEAST_TITLE_LINES = 3, 1
_REVISION_MM = 7.2
_MARK_MM = 9.0


@dataclass(frozen=True, slots=True)
class SheetName:
    """Number, title, scale, place in the set and Document ID of one sheet; ``mark`` is the revision that changed it, else empty."""

    number: str
    title: str
    scale: str = "NO SCALE"
    position: str = ""
    mark: str = ""
    document_id: str = ""


@dataclass(frozen=True, slots=True)
class Allowance:
    """How much a block may say: lines in a text field, revisions listed, lines of the title. The cover lists everything."""

    lines: int
    revisions: int
    title: int


ALLOWANCES = tuple(
    Allowance(*each)
    for each in ((6, 4, 6), (5, 3, 5), (4, 2, 4), (3, 2, 3), (2, 1, 2), (3, 0, 3), (2, 0, 3), (1, 0, 3), (1, 0, 2), (1, 0, 1))
)
"""From generous to scant: lines of each text, revisions told, lines of the title."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One field; ``height`` None takes what is left."""

    height: Callable[[float], float] | None
    draw: Callable[[Box], list[Shape]]


Styled = tuple[str, TextStyle]


def fitted(text: str, style: TextStyle, width: float) -> str:
    """Return the text, cut at its end where it is wider than ``width`` mm."""
    if text_width(text, style) <= width:
        return text
    while text and text_width(text + _CUT, style) > width:
        text = text[:-1]
    return text.rstrip() + _CUT


def _limited(text: str, style: TextStyle, width: float, most: int) -> list[str]:
    """Return at most ``most`` lines; the last says by its end that more is left out."""
    lines = break_lines(text, style, width)
    if len(lines) <= most:
        return list(lines)
    return [*lines[: most - 1], fitted(lines[most - 1] + _CUT, style, width)]


def text_cell(lines: Sequence[Styled], allowed: Allowance) -> Cell:
    """Return a field of text, each of its entries broken to the width."""
    leading = LETTERING.leading_mm

    def wrapped(width: float) -> list[Styled]:
        return [(part, style) for text, style in lines for part in _limited(text, style, width - 2 * PAD_MM, allowed.lines)]

    def height(width: float) -> float:
        return len(wrapped(width)) * leading + 2 * PAD_MM - 0.8

    def draw(box: Box) -> list[Shape]:
        y = box.top + PAD_MM
        return [
            Text(box.left + PAD_MM, y + index * leading + style.cap_height_mm, text, style)
            for index, (text, style) in enumerate(wrapped(box.width))
        ]

    return Cell(height, draw)


def preparer_cell(block: TitleBlock, allowed: Allowance) -> Cell:
    """Who prepared the plans; that this is no seal."""
    first, *others = block.preparer
    if len(others) > 1 and others[1].startswith("License"):
        others = [f"{others[0]}, {others[1]}", *others[2:]]
    lines = [(first, LETTERING.strong), *((line, LETTERING.text) for line in others[: max(1, allowed.lines - 1)])]
    return text_cell([*lines, ("Prepared by (not an engineer's seal)", LETTERING.text)], allowed)


def project_cell(block: TitleBlock, allowed: Allowance) -> Cell:
    """Project, address, authority, owner."""
    most = len(block.site) if allowed.lines > 1 else 1
    lines = [(block.project, LETTERING.strong), *((line, LETTERING.text) for line in block.site[:most])]
    if block.owner and allowed.lines > 1:
        lines.append((f"Owner: {block.owner}", LETTERING.text))
    return text_cell(lines, allowed)


def codes_cell(block: TitleBlock, allowed: Allowance) -> Cell:
    """Codes in force with their editions."""
    return text_cell([("Codes: " + ", ".join(block.codes), LETTERING.text)], allowed)


def status_cell(block: TitleBlock, allowed: Allowance) -> Cell:
    """How the rules stand; never cut short."""
    del allowed
    return text_cell([(block.status, LETTERING.strong)], Allowance(12, 1, 1))


def seal_cell() -> Cell:
    """An empty square for a seal. Nothing is ever printed into it."""

    def draw(box: Box) -> list[Shape]:
        middle = (box.left + box.right) / 2
        top = box.top + PAD_MM + LETTERING.leading_mm
        caption = Text(middle, box.top + PAD_MM + LETTERING.text.cap_height_mm, "FOR SEAL, IF REQUIRED", LETTERING.text, "middle")
        return [caption, rectangle(middle - SEAL_MM / 2, top, SEAL_MM, SEAL_MM, pen=FINE)]

    return Cell(lambda _width: SEAL_MM + 2 * PAD_MM + LETTERING.leading_mm, draw)


def stamp_cell() -> Cell:
    """Free room for the authority's approval stamp."""

    def draw(box: Box) -> list[Shape]:
        x, y = (box.left + box.right) / 2, box.top + PAD_MM + LETTERING.text.cap_height_mm
        return [Text(x, y, "APPROVAL STAMP", LETTERING.text, "middle")]

    return Cell(None, draw)


def revisions_cell(block: TitleBlock, allowed: Allowance) -> Cell:
    """The newest revisions, the newest at the bottom."""
    rows = block.revisions[-allowed.revisions :]

    def texts(row: RevisionRow, width: float) -> list[str]:
        by = row.by.replace(" ", NO_BREAK_SPACE)
        words = ", ".join(part for part in (row.description, by) if part)
        return _limited(f"{row.date}  {words}", LETTERING.text, width - 2 * PAD_MM - _MARK_MM, allowed.lines)

    def row_height(row: RevisionRow, width: float) -> float:
        return max(_REVISION_MM, len(texts(row, width)) * LETTERING.leading_mm + 1.2)

    def height(width: float) -> float:
        return sum(row_height(row, width) for row in rows) + LETTERING.leading_mm + PAD_MM + 1.0

    def draw(box: Box) -> list[Shape]:
        heading = "REVISIONS" if len(rows) == len(block.revisions) else "REVISIONS, ALL ON G-001"
        shapes: list[Shape] = [Text(box.left + PAD_MM, box.top + PAD_MM + LETTERING.text.cap_height_mm - 0.4, heading, LETTERING.text)]
        y = box.top + LETTERING.leading_mm + PAD_MM
        for row in rows:
            shapes += delta(row.mark).at(box.left + PAD_MM + 3.5, y + 4.6)
            shapes += [
                Text(
                    box.left + PAD_MM + _MARK_MM,
                    y + 0.8 + index * LETTERING.leading_mm + LETTERING.text.cap_height_mm,
                    text,
                    LETTERING.text,
                )
                for index, text in enumerate(texts(row, box.width))
            ]
            y += row_height(row, box.width)
        return shapes

    return Cell(height, draw)


def newest_cell(block: TitleBlock) -> Cell:
    """The mark and day of the newest revision in one line, and where all revisions and the codes are told."""
    newest = block.revisions[-1:]

    def draw(box: Box) -> list[Shape]:
        x, baseline = box.left + PAD_MM, (box.top + box.bottom + LETTERING.text.cap_height_mm) / 2
        words = "; ".join((*(row.date for row in newest), "codes on G-001"))
        shapes = [shape for row in newest for shape in delta(row.mark).at(x + 3.5, box.top + 4.0)]
        return [*shapes, Text(x + (_MARK_MM if newest else 0.0), baseline, words, LETTERING.text)]

    return Cell(lambda _width: _REVISION_MM, draw)


def management_cell(block: TitleBlock, name: SheetName, allowed: Allowance) -> Cell:
    """Names and values in two columns; a value too long for its column takes a line of its own."""
    del allowed

    def rows(width: float) -> list[list[tuple[str, str]]]:
        half = (width - 2 * PAD_MM) / 2
        found: list[list[tuple[str, str]]] = []
        for pair in (*block.management, *([("Document ID", name.document_id)] if name.document_id else [])):
            fits = text_width(f"{pair[0]} {pair[1]}  ", LETTERING.strong) < half
            if fits and found and len(found[-1]) == 1 and text_width(" ".join(found[-1][0]) + "  ", LETTERING.strong) < half:
                found[-1].append(pair)
            else:
                found.append([pair])
        return found

    def draw(box: Box) -> list[Shape]:
        half = (box.width - 2 * PAD_MM) / 2
        shapes: list[Shape] = []
        for line, pairs in enumerate(rows(box.width)):
            room = half if len(pairs) == 2 else 2 * half
            for index, pair in enumerate(pairs):
                shapes += _pair(box.left + PAD_MM + index * half, box.top + PAD_MM + line * LETTERING.leading_mm, pair, room)
        return shapes

    return Cell(lambda width: len(rows(width)) * LETTERING.leading_mm + 2 * PAD_MM - 0.8, draw)


def _pair(x: float, top: float, pair: tuple[str, str], room: float) -> list[Shape]:
    """A name with its value, or with a line to write on."""
    name, value = pair
    baseline = top + LETTERING.text.cap_height_mm
    start = x + text_width(name + " ", LETTERING.text)
    shapes: list[Shape] = [Text(x, baseline, name, LETTERING.text)]
    if value:
        shapes.append(Text(start, baseline, fitted(value, LETTERING.strong, x + room - start), LETTERING.strong))
    else:
        shapes.append(Line(start, baseline + 0.6, start + 11.0, baseline + 0.6, FINE))
    return shapes


def title_cell(name: SheetName, allowed: Allowance) -> Cell:
    """Title of the sheet, its scale, its place in the set; the titles of many subjects are set smaller, and cut where the block is full."""
    most = max(_LEAST_TITLE_LINES, min(2 * _TITLE_LINES, allowed.title))

    def lines(width: float) -> tuple[list[str], TextStyle, float]:
        large = break_lines(name.title.upper(), LETTERING.heading, width - 2 * PAD_MM)
        if len(large) <= min(_TITLE_LINES, most):
            return list(large), LETTERING.heading, LETTERING.heading_leading_mm
        return _limited(name.title.upper(), LETTERING.strong, width - 2 * PAD_MM, most), LETTERING.strong, LETTERING.leading_mm

    def height(width: float) -> float:
        broken, _, leading = lines(width)
        return len(broken) * leading + LETTERING.leading_mm + 2 * PAD_MM - 0.8

    def draw(box: Box) -> list[Shape]:
        shapes: list[Shape] = []
        y = box.top + PAD_MM
        broken, style, leading = lines(box.width)
        for line in broken:
            shapes.append(Text(box.left + PAD_MM, y + style.cap_height_mm, line, style))
            y += leading
        baseline = y + LETTERING.text.cap_height_mm
        shapes.append(Text(box.left + PAD_MM, baseline, f"Scale: {name.scale}", LETTERING.text))
        return [*shapes, Text(box.right - PAD_MM, baseline, f"Sheet {name.position}", LETTERING.text, "end")]

    return Cell(height, draw)


def number_cell(name: SheetName) -> Cell:
    """The number of the sheet, the largest text on it, with the mark of the revision that changed it."""
    style = LETTERING.sheet_number

    def draw(box: Box) -> list[Shape]:
        low = box.bottom - PAD_MM - 1.0
        room = box.width - 2 * PAD_MM - _MARK_MM
        share = max(min(1.0, room / text_width(name.number, style)), LETTERING.title.cap_height_mm / style.cap_height_mm)
        sized = replace(style, size_mm=style.size_mm * share)
        shapes: list[Shape] = [
            Text(box.right - PAD_MM, low, name.number, sized, "end"),
        ]
        if name.mark:
            shapes += delta(name.mark).at(box.left + PAD_MM + 3.5, box.bottom - PAD_MM - 3.0)
        return shapes

    return Cell(lambda _width: style.cap_height_mm + 2 * PAD_MM, draw)
