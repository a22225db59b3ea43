"""Text documents of many pages: ``flow_pages`` sets a list of blocks (see ``blocks``) in a format and returns the pages."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from permitgen.documents.canvas.blocks import (
    Block,
    Bullets,
    Facts,
    Figure,
    Heading,
    Note,
    PageBreak,
    Paragraph,
    Space,
    Title,
    Together,
)
from permitgen.documents.canvas.colors import INK, LIGHT_GRAY, PALE_GRAY, SAFETY_BLUE, SAFETY_GREEN, SAFETY_ORANGE, SAFETY_RED, WHITE, Color
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.page import LETTER, Page, PaperSize
from permitgen.documents.canvas.shapes import Bookmark, Line, Shape, Text
from permitgen.documents.canvas.strips import PlacedStrip, Strip, column_shapes, deal_to_pages, together
from permitgen.documents.canvas.styles import HAIRLINE, Pen, TextStyle
from permitgen.documents.canvas.table import Cell, Column, Row, Table, TableStyle, table_strips
from permitgen.documents.canvas.text_flow import flow_lines, line_shapes
from permitgen.documents.canvas.typography import SCALE, Run, TypeScale, Words, plain_text, spans_of
from permitgen.documents.fonts.faces import SANS_SEMIBOLD


@dataclass(frozen=True, slots=True)
class Running:
    """The running line at the head or foot of a page; ``warning`` is a red band of its own above it."""

    left: str = ""
    middle: str = ""
    right: str = ""
    warning: str = ""


RunningOfPage = Callable[[int, int], Running]
"""From page number (from 1) and page count to the running line."""


def no_running(_number: int, _count: int) -> Running:
    """Return an empty running line."""
    return Running()


@dataclass(frozen=True, slots=True)
class Format:
    """Paper, margins in mm, type, and the running lines of a text document."""

    paper: PaperSize = LETTER
    left_mm: float = 22.0
    right_mm: float = 18.0
    top_mm: float = 24.0
    bottom_mm: float = 22.0
    scale: TypeScale = SCALE
    header: RunningOfPage = no_running
    footer: RunningOfPage = no_running

    @property
    def column_width_mm(self) -> float:
        """Width of the text column."""
        return self.paper.width_mm - self.left_mm - self.right_mm

    @property
    def column_height_mm(self) -> float:
        """Height of the text column."""
        return self.paper.height_mm - self.top_mm - self.bottom_mm


def flow_pages(blocks: Sequence[Block], page_format: Format) -> tuple[Page, ...]:
    """Return the pages of a document made of ``blocks``; page labels are the page numbers."""
    return pages_of(flow_columns(blocks, page_format), page_format)


ColumnOfPage = tuple[PlacedStrip, ...]


def flow_columns(blocks: Sequence[Block], page_format: Format) -> tuple[ColumnOfPage, ...]:
    """Return what stands on each page, without running lines: for documents whose running lines or contents name pages."""
    return deal_to_pages(tuple(_Setter(page_format).strips_of(blocks)), page_format.column_height_mm)


def flow_to_one_page(settings: Iterable[Sequence[Block]], page_format: Format) -> tuple[Page, ...]:
    """Return the pages of the first of some settings, from roomy to tight, that takes one page; of the last where none does."""
    pages: tuple[Page, ...] = ()
    for blocks in settings:
        pages = flow_pages(blocks, page_format)
        if len(pages) == 1:
            break
    return pages


def bookmarks_of(column: ColumnOfPage) -> tuple[Bookmark, ...]:
    """Return the bookmarks on a page from top to bottom."""
    return tuple(shape for placed in column for shape in placed.strip.shapes if isinstance(shape, Bookmark))


def pages_of_bookmarks(columns: Sequence[ColumnOfPage]) -> dict[str, int]:
    """Return the page of each bookmark by its key."""
    return {bookmark.key: number for number, column in enumerate(columns, start=1) for bookmark in bookmarks_of(column)}


def pages_of(columns: Sequence[ColumnOfPage], page_format: Format) -> tuple[Page, ...]:
    """Return the pages that hold ``columns``, with the running lines of the format."""
    count = len(columns)
    return tuple(
        Page(
            page_format.paper.width_mm,
            page_format.paper.height_mm,
            (
                *_running_lines(page_format, number, count),
                *column_shapes(column, page_format.left_mm, page_format.top_mm),
            ),
        )
        for number, column in enumerate(columns, start=1)
    )


def _running_lines(page_format: Format, number: int, count: int) -> tuple[Shape, ...]:
    left, width = page_format.left_mm, page_format.column_width_mm
    style = page_format.scale.small
    shapes: list[Shape] = []
    above, below = 14.0, page_format.paper.height_mm - 12.0
    for running, baseline, rule_y in (
        (page_format.header(number, count), above, above + 2.4),
        (page_format.footer(number, count), below, below - 4.4),
    ):
        if running != Running():
            shapes.append(Line(left, rule_y, left + width, rule_y, HAIRLINE))
            shapes += _band(running.warning, left, baseline - page_format.scale.small_leading_mm, width, style) if running.warning else []
            shapes.append(Text(left, baseline, running.left, style))
            shapes.append(Text(left + width / 2, baseline, running.middle, style, anchor="middle"))
            shapes.append(Text(left + width, baseline, running.right, style, anchor="end"))
    return tuple(shape for shape in shapes if not isinstance(shape, Text) or shape.text)


_BAND_MM = 0.9
"""How far the band reaches above and below its capitals."""


def _band(words: str, left: float, baseline: float, width: float, style: TextStyle) -> list[Shape]:
    """Return a warning in white on a red band from edge to edge of the text."""
    words_style = style.in_face(SANS_SEMIBOLD).colored(WHITE)
    top = baseline - words_style.cap_height_mm - _BAND_MM
    band = rectangle(left, top, width, words_style.cap_height_mm + 2 * _BAND_MM, fill=SAFETY_RED)
    return [band, Text(left + _BAND_MM, baseline, words, words_style)]


_NOTE_COLORS: dict[str, Color] = {"note": SAFETY_BLUE, "caution": SAFETY_ORANGE, "violation": SAFETY_RED, "passes": SAFETY_GREEN}
_HEADING_SPACE = ((9.0, 2.2), (6.5, 1.4), (4.5, 0.8))
_BETWEEN_BLOCKS_MM = 2.6
_BULLET_INDENT_MM = 5.0


class _Setter:
    """Turns blocks into strips for one column width."""

    def __init__(self, page_format: Format) -> None:
        self.scale = page_format.scale
        self.width = page_format.column_width_mm
        self.tallest = page_format.column_height_mm
        self.headings: dict[str, int] = {}

    def strips_of(self, blocks: Sequence[Block]) -> list[Strip]:
        strips: list[Strip] = []
        begins_page = False
        for block in blocks:
            if isinstance(block, PageBreak):
                begins_page = True
                continue
            made = list(self._block(block))
            if made and begins_page:
                made[0] = replace(made[0], begins_page=True)
                begins_page = False
            strips.extend(made)
        return strips

    def _block(self, block: Block) -> Sequence[Strip]:
        setters: dict[type, Callable[[Any], Sequence[Strip]]] = {
            Title: self._title,
            Heading: self._heading,
            Paragraph: self._paragraph,
            Bullets: self._bullets,
            Facts: self._facts,
            Note: self._note,
            Figure: self._figure,
            Table: self._table,
            Together: lambda bound: together(self.strips_of(bound.blocks)),
            Space: lambda space: (Strip(0.0, (), space_before=space.height_mm),),
        }
        return setters[type(block)](block)

    def _facts(self, block: Facts) -> Sequence[Strip]:
        return self._table(_facts_table(block))

    def _table(self, table: Table) -> Sequence[Strip]:
        return self._spaced(table_strips(table, self.width, self.tallest))

    def _spaced(self, strips: Sequence[Strip]) -> Sequence[Strip]:
        return (replace(strips[0], space_before=_BETWEEN_BLOCKS_MM), *strips[1:]) if strips else ()

    def _text_strips(self, words: Words, style: TextStyle, leading: float, *, left: float = 0.0, width: float = 0.0) -> list[Strip]:
        """One strip a line; the first two and the last two lines stay together."""
        lines = flow_lines(spans_of(words, style), width or self.width - left)
        baseline = (leading + style.cap_height_mm) / 2
        strips = [Strip(leading, line_shapes(line, left, baseline, line.width)) for line in lines]
        for index in {0, len(strips) - 2}:
            if 0 <= index < len(strips) - 1:
                strips[index] = replace(strips[index], keep_with_next=True)
        return strips

    def _title(self, block: Title) -> Sequence[Strip]:
        style = self.scale.title
        strips = self._text_strips(block.words, style, style.size_mm * 1.22)
        if plain_text(block.subtitle):
            strips += self._text_strips(block.subtitle, self.scale.body.colored(self.scale.small.color), self.scale.body_leading_mm)
        rule = Strip(3.0, (Line(0, 3.0, self.width, 3.0, Pen(0.5, INK)),))
        return together((*strips, rule))

    def _heading(self, block: Heading) -> Sequence[Strip]:
        level = min(block.level, len(self.scale.heading) - 1)
        style = self.scale.heading[level]
        before, after = _HEADING_SPACE[level]
        strips = self._text_strips(block.words, style, style.size_mm * 1.3)
        title = plain_text(block.words) if block.in_outline else ""
        if title or block.bookmark:
            key = block.bookmark or self._key_of(title)
            strips[0] = replace(strips[0], shapes=(Bookmark(key, title, 0.0, level), *strips[0].shapes))
        strips[0] = replace(strips[0], space_before=before, begins_page=block.begins_page)
        strips.append(Strip(after, ()))
        return tuple(replace(strip, keep_with_next=True) for strip in strips)

    def _key_of(self, title: str) -> str:
        """Key of a heading without one of its own; headings with the same words are told apart by a number."""
        self.headings[title] = self.headings.get(title, 0) + 1
        return f"heading:{title}" + (f":{self.headings[title]}" if self.headings[title] > 1 else "")

    def _paragraph(self, block: Paragraph) -> Sequence[Strip]:
        style, leading = (self.scale.body, self.scale.body_leading_mm)
        if block.size == "small":
            style, leading = (self.scale.small, self.scale.small_leading_mm)
        width = self.width - block.indent_mm
        strips = self._text_strips(block.words, style, leading, left=block.indent_mm, width=min(width, block.measure_mm or width))
        if block.leads_in:
            strips[-1] = replace(strips[-1], keep_with_next=True)
        return self._spaced(strips)

    def _bullets(self, block: Bullets) -> Sequence[Strip]:
        style, leading = self.scale.body, self.scale.body_leading_mm
        baseline = (leading + style.cap_height_mm) / 2
        strips: list[Strip] = []
        for number, words in enumerate(block.items, start=1):
            mark = f"{number}." if block.numbered else block.mark
            item = self._text_strips(words, style, leading, left=_BULLET_INDENT_MM, width=min(self.width - _BULLET_INDENT_MM, 150.0))
            item[0] = replace(item[0], shapes=(Text(0.0, baseline, mark, style), *item[0].shapes), space_before=0.8)
            strips.extend(item)
        return self._spaced(strips)

    def _note(self, block: Note) -> Sequence[Strip]:
        color = _NOTE_COLORS[block.kind]
        pad, bar = 2.4, 1.2
        words: Words = block.words
        if block.label:
            runs = (Run(block.words),) if isinstance(block.words, str) else block.words
            words = (Run(block.label + " ", "strong"), *runs)
        leading, style = self.scale.body_leading_mm, self.scale.body
        lines = self._text_strips(words, style, leading, left=bar + pad, width=min(self.width - bar - 2 * pad, 155.0))
        above = pad * 0.7
        fitting = max(1, int((self.tallest - 2 * above) / leading))
        strips: list[Strip] = []
        for first in range(0, len(lines), fitting):
            part = lines[first : first + fitting]
            height = len(part) * leading + 2 * above
            shapes: list[Shape] = [rectangle(0, 0, self.width, height, fill=PALE_GRAY), rectangle(0, 0, bar, height, fill=color)]
            shapes.extend(column_shapes(deal_to_pages(part, 1e6)[0], 0.0, above))
            strips.append(Strip(height, tuple(shapes)))
        return self._spaced(strips)

    def _figure(self, block: Figure) -> Sequence[Strip]:
        if block.height_mm > self.tallest:
            raise ValueError(f"a figure {block.height_mm:.0f} mm tall does not fit in a column of {self.tallest:.0f} mm")
        strips = [Strip(block.height_mm, block.shapes, space_before=_BETWEEN_BLOCKS_MM)]
        if plain_text(block.caption):
            caption = self._text_strips(block.caption, self.scale.small, self.scale.small_leading_mm)
            caption[0] = replace(caption[0], space_before=1.2)
            strips.extend(caption)
        return together(strips)


_FACTS_STYLE = TableStyle(text=SCALE.body, leading_mm=SCALE.body_leading_mm, pad_x_mm=0.0, pad_y_mm=0.9, row_pen=Pen(0.18, LIGHT_GRAY))


def _facts_table(block: Facts) -> Table:
    """Names in gray, values in body type; pairs run down the columns."""
    columns: list[Column] = []
    for index in range(block.columns):
        columns.append(Column(width_mm=block.name_width_mm))
        columns.append(Column())
        if index < block.columns - 1:
            columns.append(Column(width_mm=6.0))
    depth = -(-len(block.pairs) // block.columns)
    rows = []
    for line in range(depth):
        cells: list[Words | Cell] = []
        for index in range(block.columns):
            at = line + index * depth
            name, value = block.pairs[at] if at < len(block.pairs) else ("", "")
            cells += [_muted(name), value] if index == 0 else ["", _muted(name), value]
        rows.append(Row(tuple(cells)))
    return Table(tuple(columns), tuple(rows), _FACTS_STYLE)


def _muted(words: Words) -> Words:
    return (Run(words, "muted"),) if isinstance(words, str) else words
