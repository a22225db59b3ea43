"""The survey on paper: the same questions as on the phone, by where one stands, with room to write and the same drawings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from string import ascii_uppercase
from typing import TYPE_CHECKING

from permitgen.documents.canvas.blocks import Block, Bullets, Facts, Figure, Heading, Paragraph, Title, Together
from permitgen.documents.canvas.colors import PALE_GRAY
from permitgen.documents.canvas.flow import Format, Running, flow_pages
from permitgen.documents.canvas.shapes import Group, moved
from permitgen.documents.canvas.table import BARE, Cell, Column, Row, Table, TableStyle
from permitgen.documents.canvas.text_flow import NO_BREAK_SPACE
from permitgen.documents.canvas.typography import Run, Words, muted, strong
from permitgen.documents.survey_figures import HEIGHT_MM, WIDTH_MM, survey_figure
from permitgen.documents.survey_html import CAUTIONS
from permitgen.documents.titled_pdf import page_footer, titled_pdf
from permitgen.views.survey import SurveyLine

if TYPE_CHECKING:
    from permitgen.views.checklist.blocks import Block as AnsweredBlock
    from permitgen.views.survey import Survey

_ROW_MM = 9.5
_ACROSS, _GAP_MM = 3, 3.0
_STYLE = TableStyle(pad_y_mm=0.7)
_COLUMNS = (Column("Question", share=1.0), Column("Answer", width_mm=64.0), Column("By, date", width_mm=18.0))
_MOST_BOXES = 6
_BLANK = "_" * 34
_APART = f"{NO_BREAK_SPACE * 2} "


def survey_pdf(view: Survey) -> bytes:
    """Return ``survey.pdf``."""
    letters = dict(zip(view.figures, ascii_uppercase, strict=False))
    header = partial(_header, view)
    footer = partial(page_footer, view.title, view.document_id)
    form = Format(left_mm=18.0, right_mm=16.0, top_mm=20.0, bottom_mm=18.0, header=header, footer=footer)
    rows = tuple(row for number, section in enumerate(view.sections, 1) for row in _section(number, section.title, section.blocks, letters))
    blocks = [*_front(view), *_drawings(letters), Table(_COLUMNS, rows, style=_STYLE)]
    return titled_pdf("Survey", view.title, view.document_id, flow_pages(blocks, form))


def _header(view: Survey, _number: int, _count: int) -> Running:
    return Running(left=f"Survey · {view.title.project}", right=view.title.number)


def _front(view: Survey) -> list[Block]:
    title = view.title
    facts: tuple[tuple[Words, Words], ...] = (
        ("Address", title.address or "–"),
        ("Questions", str(view.entries)),
        ("Who, tape or instrument, date", ""),
    )
    where = "; ".join(f"{number}. {section.title} ({len(section.lines)})" for number, section in enumerate(view.sections, 1))
    return [Title("Survey", title.project), Facts(facts), Bullets(CAUTIONS), Paragraph(f"Where to go: {where}.", "small")]


def _drawings(letters: Mapping[str, str]) -> Iterator[Block]:
    """Yield the drawings in rows, each above its letter, by which questions name it, and the line that says how to measure."""
    if letters:
        yield Heading("What to measure", 1)
    names = list(letters)
    for first in range(0, len(names), _ACROSS):
        row = [(letters[name], survey_figure(name)) for name in names[first : first + _ACROSS]]
        shapes = tuple(Group(figure.shapes, moved(index * (WIDTH_MM + _GAP_MM), 0.0)) for index, (_, figure) in enumerate(row))
        said = [(strong(f"{letter}  "), muted(figure.caption)) for letter, figure in row]
        columns = tuple(Column("", width_mm=WIDTH_MM + _GAP_MM) for _ in range(_ACROSS))
        words = Table(columns, (Row((*said, *[""] * (_ACROSS - len(row)))),), style=BARE)
        yield Together((Figure(shapes, HEIGHT_MM + 1.0), words))


def _section(number: int, title: str, blocks: tuple[AnsweredBlock, ...], letters: Mapping[str, str]) -> Iterator[Row]:
    name = f"{number}. {title}"
    yield Row((Cell(name, span=3),), kind="section", bookmark=name, keep_with_next=True, fill=PALE_GRAY)
    for block in blocks:
        if block.title:
            yield Row((Cell((strong(block.title),), span=3),), keep_with_next=True)
        for line in (line for line in block.lines if isinstance(line, SurveyLine)):
            yield Row((_question(line, letters), _answer(line), ""), least_height_mm=_ROW_MM)


def _question(line: SurveyLine, letters: Mapping[str, str]) -> Words:
    runs = [Run(line.instruction)]
    if line.figure in letters:
        runs.append(strong(f"  drawing {letters[line.figure]}"))
    small = [line.why, *line.earlier, line.waits, "photo" if line.photo else ""]
    return (*runs, muted("   " + " · ".join(part for part in small if part)))


def _answer(line: SurveyLine) -> Words:
    """Return boxes for choices, else room for a hand and what an answer looks like; a box for what could not be seen is always there."""
    form = line.form
    last = [_box("none")] * form.takes_none + [_box("could not see it")]
    if form.choices and len(form.choices) <= _MOST_BOXES:
        return _APART.join([*map(_box, form.choices), *last])
    example = ", ".join(form.choices) or (f"as {form.example}" if form.example else "")
    return f"{_BLANK}\n{_APART.join([*[example] * bool(example), *last])}"


def _box(words: str) -> str:
    """A box to tick, never parted from its words."""
    return f"☐ {words}".replace(" ", NO_BREAK_SPACE)
