"""Draws the paper twin of the record on letter sheets, both languages beside each other, true to size: a bar shows whether it is."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from permitgen.documents.canvas.blocks import Block, Figure, Heading, Note, Paragraph, Space
from permitgen.documents.canvas.flow import Format, Running, flow_to_one_page
from permitgen.documents.canvas.page import Document
from permitgen.documents.canvas.styles import points
from permitgen.documents.canvas.table import BARE, PLAIN, Cell, Column, Row, Table
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.canvas.typography import Run, muted, strong
from permitgen.documents.fonts.faces import SANS
from permitgen.documents.gate_mark import marked_page
from permitgen.documents.labels.measuring_bars import inch_bar

if TYPE_CHECKING:
    from collections.abc import Callable

    from permitgen.documents.canvas.page import Page
    from permitgen.documents.canvas.table import TableStyle
    from permitgen.documents.canvas.typography import Kind, Words
    from permitgen.views.panel_door import DoorText, PanelDoor
    from permitgen.views.record_owner import Answer

# Steps and the rest, in points, and rows to write in, from roomy to tight: the first that is one page. No letter is smaller than 7.5
# points.
_SIZES = ((12.0, 8.5, 4), (11.0, 8.0, 4), (10.0, 7.5, 4), (9.0, 7.5, 3), (8.5, 7.5, 2))
_LEADING = 0.405
_WRITING_MM = 6.5
_BAR_AT = (90.0, 2.0)
# Spanish says the same in more words.
_SHARES = (0.92, 1.08)


def panel_door_pdf(view: PanelDoor, mark: str = "") -> bytes:
    """Return ``panel_door.pdf``; ``mark`` is printed over it while the gate FOR HANGING is shut."""
    english = view.texts[0]
    pages = tuple(marked_page(page, mark) for page in _pages(view))
    return pdf_bytes(Document(pages, title=english.title, subject=f"{english.date}, Document ID {view.document_id}"))


def _pages(view: PanelDoor) -> tuple[Page, ...]:
    form = Format(left_mm=12.0, right_mm=12.0, top_mm=8.0, bottom_mm=14.0, footer=partial(_footer, view))
    return flow_to_one_page((_blocks(view, large, small, rows) for large, small, rows in _SIZES), form)


def _footer(view: PanelDoor, number: int, count: int) -> Running:
    english = view.texts[0]
    page = f" · Page {number} of {count}" if count > 1 else ""
    return Running(left=f"{english.date} · Document ID {view.document_id}{page}", right=english.subtitle)


def _blocks(view: PanelDoor, large: float, small: float, to_write: int) -> list[Block]:
    english = view.texts[0]
    blocks: list[Block] = [Heading(_both(view, lambda text: text.title), 0)]
    if english.emergency.alarm:
        blocks.append(Note(_both(view, lambda text: text.emergency.alarm), "violation"))
    blocks += [Figure((inch_bar(*_BAR_AT),), 0.0), Paragraph(_both(view, lambda text: text.headline, "strong")), _steps(view, large)]
    said = [text.emergency.warning for text in view.texts], [f"{text.emergency.wait} {text.call}".strip() for text in view.texts]
    rows: list[tuple[Words, ...]] = [tuple((strong(words),) for words in pair) for pair in said if pair[0]]
    live = [text.emergency.stays_live for text in view.texts]
    rows += [tuple((strong(text.live_heading),) for text in view.texts)] if live[0] else []
    rows += [tuple(f"• {words}" for words in pair) for pair in zip(*live, strict=True)]
    blocks += [Space(0.8), _beside(rows, small + 1.0)]
    blocks += [Space(0.8), _facts(view, small), Space(0.8), _answers(view, small)]
    if english.gone:
        blocks.append(Paragraph(_both(view, lambda text: text.gone), "small", measure_mm=190.0))
    return [*blocks, *_to_write(view, to_write)]


def _both(view: PanelDoor, words: Callable[[DoorText], str], kind: Kind = "plain") -> tuple[Run, ...]:
    """Return a text in both languages, the second in gray."""
    first, *others = (words(text) for text in view.texts)
    return (Run(first, kind), *(muted(f"   {other}") for other in others))


def _steps(view: PanelDoor, size: float) -> Table:
    """Return the steps, each in both languages in one row, large: they are read by a flashlight."""
    style = replace(_in_size(PLAIN, size), pad_y_mm=0.8)
    rows = []
    for steps in zip(*(text.emergency.steps for text in view.texts), strict=True):
        cells: list[Words] = [(strong(str(steps[0].number)),)]
        for step in steps:
            runs = [Run(f"{step.place}. {step.object}: "), strong(step.action)]
            runs += [Run(f", {step.stops}")] if step.stops else []
            runs += [Run(" "), strong(f"{step.failed}")] if step.failed else []
            runs += [Run("; "), strong(step.unproven)] if step.unproven else []
            cells.append(tuple(runs))
        rows.append(Row(tuple(cells)))
    return Table((Column("", width_mm=9.0), *_columns()), tuple(rows), style)


def _beside(rows: list[tuple[Words, ...]], size: float) -> Table:
    """Return texts of both languages in two columns."""
    style = replace(_in_size(BARE, size), pad_x_mm=2.0)
    return Table(_columns(), tuple(Row(row) for row in rows), style)


def _in_size(style: TableStyle, size: float) -> TableStyle:
    return replace(style, text=points(SANS, size, style.text.color), leading_mm=size * _LEADING)


def _columns() -> tuple[Column, ...]:
    return tuple(Column("", share=share) for share in _SHARES)


def _facts(view: PanelDoor, size: float) -> Table:
    rows = []
    for pairs in zip(*(text.facts for text in view.texts), strict=True):
        same = len({value for _, value in pairs}) == 1
        names = " · ".join(dict.fromkeys(name for name, _ in pairs))
        cells = (pairs[0][1],) if same else tuple(value for _, value in pairs)
        rows.append(Row(((muted(names),), *(Cell(cell, span=len(view.texts) if same else 1) for cell in cells))))
    style = replace(_in_size(PLAIN, size), pad_y_mm=0.5)
    return Table((Column("", width_mm=44.0), *_columns()), tuple(rows), style)


def _answers(view: PanelDoor, size: float) -> Table:
    return _beside([tuple(_answer(answer) for answer in answers) for answers in zip(*(t.answers for t in view.texts), strict=True)], size)


def _answer(answer: Answer) -> Words:
    steps = " ".join(f"({number}) {step}." for number, step in enumerate(answer.steps, 1))
    return (strong(f"{answer.question} "), Run(" ".join(part for part in (*(answer.in_short or answer.sentences), steps) if part)))


def _to_write(view: PanelDoor, rows: int) -> list[Block]:
    """Room for the yearly check by hand: a house without a network has a record too."""
    columns = (Column("", width_mm=30.0), Column("", width_mm=45.0), Column(""), Column("", width_mm=30.0))
    empty = tuple(Row(("", "", "", ""), least_height_mm=_WRITING_MM) for _ in range(rows))
    return [Paragraph(_both(view, lambda text: text.checked, "strong"), "small", measure_mm=190.0), Table(columns, empty)]
