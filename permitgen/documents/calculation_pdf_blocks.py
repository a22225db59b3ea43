"""The blocks of the reviewer's calculation on paper: standing, contents, circuits, sections, index."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.documents.calculation_wording import standing_mark, title_facts
from permitgen.documents.canvas.blocks import Block, Facts, Heading, Note, Paragraph, Title
from permitgen.documents.canvas.colors import INK, PALE_RED
from permitgen.documents.canvas.styles import points
from permitgen.documents.canvas.table import Cell, Column, Row, Table, TableStyle
from permitgen.documents.canvas.typography import SCALE as TEXT_SCALE
from permitgen.documents.canvas.typography import Run, Words, muted, strong
from permitgen.documents.derivations_pdf_words import verdict_runs
from permitgen.documents.fonts.faces import SANS, SANS_SEMIBOLD

if TYPE_CHECKING:
    from permitgen.views.reviewer.parts import CheckLine, CircuitLine, LoadTable, Question, ReviewerCalculation, ReviewSection

PageOf = Mapping[str, int]
"""Page of each row and heading by its key."""

AT_FOOT = "to confirm"
"""Mark of rows that have a line at the foot of their page."""

SCALE = replace(
    TEXT_SCALE,
    title=points(SANS_SEMIBOLD, 18, INK),
    heading=(*TEXT_SCALE.heading[:1], TEXT_SCALE.heading[1], points(SANS_SEMIBOLD, 11, INK)),
    table=points(SANS, 8, INK),
    table_head=TEXT_SCALE.table_head.in_face(SANS_SEMIBOLD),
    small=points(SANS, 8, TEXT_SCALE.small.color),
)
_STYLE = TableStyle(
    text=points(SANS, 8, INK),
    head=points(SANS_SEMIBOLD, 8, TEXT_SCALE.table_head.color),
    section=points(SANS_SEMIBOLD, 8, INK),
    leading_mm=3.15,
    pad_x_mm=0.8,
    pad_y_mm=0.18,
)
_PLAIN = replace(_STYLE, rules="none", pad_y_mm=0.2)
_PART_INDENT_MM = 4.0
_LEVEL = 2
"""Level of the headings: the one with the least room around it."""
_CHECK_COLUMNS = (
    Column("Subject", width_mm=37.0),
    Column("Requirement"),
    Column("Found", width_mm=21.0, align="point"),
    Column("", width_mm=5.0, align="center"),
    Column("Limit", width_mm=21.0, align="point"),
    Column("Section", width_mm=32.0),
    Column("Result", width_mm=24.0),
)
CIRCUIT_COLUMNS = (
    Column("Circuit, from → to", width_mm=38.0),
    Column("Current, required", width_mm=24.0),
    Column("Device", width_mm=29.0),
    Column("Conductors", width_mm=24.0),
    Column("Table ampacity", width_mm=14.0),
    Column("Ambient and count factors", width_mm=19.0),
    Column("After factors", width_mm=13.5),
    Column("Terminals carry", width_mm=15.0),
    Column("Equipment ground, and why", width_mm=28.5),
    Column("Drop or rise", width_mm=20.5),
    Column("Raceway, fill of permitted"),
)
_LOAD_COLUMNS = (
    Column("Term"),
    Column("Connected", width_mm=30.0, align="point"),
    Column("Factor", width_mm=20.0, align="point"),
    Column("Counted", width_mm=30.0, align="point"),
    Column("Section", width_mm=67.0),
)


def calculation_blocks(view: ReviewerCalculation, page_of: PageOf) -> list[Block]:
    """Return the blocks of the document; ``page_of`` is empty while the pages are not known."""
    blocks: list[Block] = [*_front(view, page_of)]
    for section in view.sections:
        blocks += _section(section)
    return [*blocks, *_index(view, page_of)]


def _front(view: ReviewerCalculation, page_of: PageOf) -> Iterator[Block]:
    title = view.title
    yield Title("Electrical calculation", (Run(title.project, "strong", color=INK),))
    if title.description:
        yield Paragraph(title.description, "small", measure_mm=0.0)
    yield Facts(title_facts(title, view.document_id), columns=3, name_width_mm=27.0)
    kind, label = standing_mark(view.title, view.counts)
    yield Note((Run(f"{title.status} "), Run(view.standing)), kind, label)
    yield Heading("Where to find it", _LEVEL, "contents", in_outline=False)
    yield _contents(view.questions, page_of)
    yield Paragraph(" ".join((*title.cautions, title.deference)), "small", measure_mm=0.0)


def _contents(questions: Sequence[Question], page_of: PageOf) -> Table:
    """The questions in two columns that read down, each with its page and the plan sheet that shows the same."""
    depth = -(-len(questions) // 2)
    rows = []
    for left in range(depth):
        cells: list[Words | Cell] = []
        for question in (questions[left], *questions[left + depth : left + depth + 1]):
            page = f"page {page_of[question.keys[0]]}" if question.keys[0] in page_of else ""
            sheet = f"{', ' if page else ''}{question.sheet}" if question.sheet else ""
            cells += [*([""] if cells else []), (Run(question.text, link=f"#{question.keys[0]}", color=INK),), f"{page}{sheet}"]
        rows.append(Row((*cells, *[""] * (5 - len(cells)))))
    columns = (Column(), Column(width_mm=28.0), Column(width_mm=8.0), Column(), Column(width_mm=28.0))
    return Table(columns, tuple(rows), _STYLE)


def _section(section: ReviewSection) -> Iterator[Block]:
    yield Heading(_heading(section), _LEVEL, section.key)
    if section.note and not section.assumptions:
        yield Paragraph(section.note, "small", measure_mm=0.0, leads_in=True)
    if section.circuits:
        yield Table(CIRCUIT_COLUMNS, tuple(_circuit(line) for line in section.circuits), _STYLE)
    for table in section.loads:
        yield _load(table)
    if section.lines:
        yield Table(_CHECK_COLUMNS, tuple(_check(line) for line in section.lines), _STYLE)
    if section.also:
        yield _also(section)
    if section.assumptions:
        yield _assumptions(section)


def _heading(section: ReviewSection) -> Words:
    return (Run(section.title), muted(f"\u00a0\u00a0{section.sheet}")) if section.sheet else section.title


def _check(line: CheckLine) -> Row:
    text = Cell(
        (muted(line.text),) if line.is_part and not line.computed else line.text, indent_mm=_PART_INDENT_MM if line.is_part else 0.0
    )
    compared: tuple[Words | Cell, ...] = (text, line.computed, line.relation, line.limit) if line.computed else (replace(text, span=4),)
    result = verdict_runs(line.verdict, is_part=line.is_part)
    return Row(
        ((strong(line.subject),), *compared, line.section, (*result, *_star(is_marked=line.to_confirm))),
        bookmark=line.key,
        fill=PALE_RED if line.verdict == "violated" else None,
        mark=AT_FOOT if line.to_confirm else "",
    )


def _star(*, is_marked: bool) -> tuple[Run, ...]:
    return (Run(" *", "strong", color=INK),) if is_marked else ()


def _circuit(line: CircuitLine) -> Row:
    mark = verdict_runs(line.verdict)[:1]
    named = (*mark, strong(line.tag), Run(f" {line.name}"), *_star(is_marked=line.to_confirm), muted(f"\n{line.path}"))
    required = f"\n{line.required} " if line.required != line.current else "\n" if line.asked else ""
    cells: tuple[Words, ...] = (
        named,
        (Run(line.current), muted(f" {line.basis}" if line.basis else ""), Run(required), muted(line.asked)),
        line.device,
        line.conductors,
        line.table.replace(" at ", "\nat "),
        f"{line.ambient}\n{line.count}",
        line.corrected,
        line.terminal.replace(" at ", "\nat "),
        (Run(line.ground), muted(f" {line.why}" if line.why else "")),
        line.drop,
        "\n".join(line.runs) or "–",
    )
    return Row(
        cells,
        bookmark=line.key,
        fill=PALE_RED if line.verdict == "violated" else None,
        mark=AT_FOOT if line.to_confirm else "",
    )


def _load(table: LoadTable) -> Table:
    heading = Row((Cell((strong(table.title),), span=4), table.section), kind="section", bookmark=table.key)
    terms = (Row((line.text, line.connected, line.factor, line.demand, line.section), bookmark=line.key) for line in table.lines)
    carried = f"{table.current}, {table.capacity} available" if table.capacity else table.current
    return Table(_LOAD_COLUMNS, (heading, *terms, Row(("Sum", "", "", table.total, carried), kind="total")), _STYLE)


def _also(section: ReviewSection) -> Table:
    """One paragraph of what is met and compares no numbers."""
    runs: list[Run] = [strong("Also met: ")]
    for each in section.also:
        star = "*" if each.to_confirm else ""
        runs += [strong(f"{each.subject} "), Run(each.text), muted(f" ({each.section}{star})" if each.section else star), Run("; ")]
    runs[-1] = Run(".")
    mark = AT_FOOT if any(each.to_confirm for each in section.also) else ""
    return Table((Column(),), (Row((tuple(runs),), bookmark=section.also_key, mark=mark),), _PLAIN)


def _assumptions(section: ReviewSection) -> Table:
    """One paragraph: each value with what it is, and why it was taken."""
    runs: list[Run] = [muted(f"{section.note} ")]
    for title, taken, reason in section.assumptions:
        runs += [Run(f"{title}: "), strong(taken), muted(f" ({reason})"), Run("; ")]
    runs[-1] = Run(".")
    return Table((Column(),), (Row((tuple(runs),)),), _PLAIN)


def _index(view: ReviewerCalculation, page_of: PageOf) -> Iterator[Block]:
    if not view.index:
        return
    yield Heading((Run("Index by section"), muted("\u00a0\u00a0section of the code, then page")), _LEVEL, "index")
    runs: list[Run] = []
    for entry in view.index:
        pages: dict[int, str] = {}
        for key in entry.keys:
            pages.setdefault(page_of.get(key, 0), key)
        words = [Run(", ") for _ in pages]
        shown = [Run(str(number), link=f"#{key}") for number, key in sorted(pages.items())]
        runs += [strong(entry.section.replace(" ", "\u00a0") + "\u00a0")]
        runs += [run for pair in zip(shown, words, strict=True) for run in pair][:-1]
        runs.append(Run(" · "))
    yield Table((Column(),), (Row((tuple(runs[:-1]),)),), _PLAIN)
