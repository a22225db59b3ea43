"""The subjects of the derivations PDF: facts, checks and numbered derivation steps of each circuit, busbar and so on."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.documents.calculation_steps import FRONT_SECTIONS, LAST_SECTION, step_bookmark
from permitgen.documents.calculation_wording import (
    STEPS_NOTE,
    part_text,
    readings_note,
    short_section,
    shown_parts,
    without_tag,
)
from permitgen.documents.canvas.blocks import Block, Heading, Paragraph
from permitgen.documents.canvas.colors import DARK_GRAY, INK
from permitgen.documents.canvas.flow import Format
from permitgen.documents.canvas.styles import points
from permitgen.documents.canvas.table import Cell, Column, Row, Table, TableStyle
from permitgen.documents.canvas.text_flow import flow_lines
from permitgen.documents.canvas.typography import Run, Words, muted, spans_of, strong
from permitgen.documents.derivations_pdf_words import equation_words, symbol_words, verdict_runs
from permitgen.documents.fonts.faces import SANS
from permitgen.views.findings import way_verdict

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from permitgen.documents.calculation_steps import NumberedBlock, NumberedGroup, NumberedStep
    from permitgen.views.calculation_sheet import CalculationSheet, CheckRow, SubjectBlock
    from permitgen.views.findings import MethodLine

_WIDTH_MM = Format().column_width_mm

# One grid for all steps: number, symbol, equation sign, value, what it is, where it comes from.
_NUMBER_MM, _SYMBOL_MM, _SIGN_MM, _VALUE_MM, _ORIGIN_MM = 10.0, 21.0, 4.0, 24.0, 60.0
_STEP_COLUMNS = (
    Column(width_mm=_NUMBER_MM),
    Column(width_mm=_SYMBOL_MM),
    Column(width_mm=_SIGN_MM),
    Column(width_mm=_VALUE_MM),
    Column(),
    Column(width_mm=_ORIGIN_MM),
)
_WIDE_SPACE = "\u00a0\u00a0"
_STEP_STYLE = TableStyle(
    text=points(SANS, 8, DARK_GRAY), section=points(SANS, 9, INK), leading_mm=3.6, pad_x_mm=0.8, pad_y_mm=0.15, rules="none"
)
_MOST_KEPT = 8
_EQUATION_MM = _WIDTH_MM - _NUMBER_MM - _SYMBOL_MM - _SIGN_MM - 1.6

_CHECK_COLUMNS = (
    Column("Requirement"),
    Column("Computed", width_mm=22.0, align="point"),
    Column("", width_mm=5.0, align="center"),
    Column("Limit", width_mm=22.0, align="point"),
    Column("Section", width_mm=25.0),
    Column("Verdict", width_mm=24.0),
)
_CHECK_STYLE = TableStyle(text=points(SANS, 8, INK), leading_mm=3.55, pad_y_mm=0.6)
_PART_INDENT_MM = 4.0
_FACT_STYLE = TableStyle(pad_y_mm=0.35, rules="none")


def subject_blocks(sheet: CalculationSheet, groups: Sequence[NumberedGroup]) -> list[Block]:
    """Return the blocks of all subjects, group after group, and the readings in doubt."""
    blocks: list[Block] = []
    for group in groups:
        blocks.append(Heading(f"{group.number}{_WIDE_SPACE}{group.title}", 0, group.bookmark, begins_page=group is groups[0]))
        if group is groups[0]:
            blocks.append(Paragraph(STEPS_NOTE, "small", measure_mm=0.0))
        for numbered in group.blocks:
            blocks.extend(_subject(sheet, numbered))
    if sheet.doubts:
        blocks.extend(_readings(sheet, len(FRONT_SECTIONS) + len(groups) + 1))
    return blocks


def _subject(sheet: CalculationSheet, numbered: NumberedBlock) -> Iterator[Block]:
    block = numbered.block
    yield Heading(f"{block.tag}{_WIDE_SPACE}{without_tag(block.name, block.tag)}".rstrip(_WIDE_SPACE), 1, numbered.bookmark)
    if block.facts:
        yield _facts(block.facts)
    if block.checks:
        yield _checks(sheet, block)
    yield from _steps(numbered.steps)


def _facts(facts: Sequence[tuple[str, str]]) -> Table:
    """Names and values in two columns that read down, held together with the checks below."""
    depth = -(-len(facts) // 2)
    columns = (Column(width_mm=21.0), Column(), Column(width_mm=4.0), Column(width_mm=21.0), Column())
    rows = []
    for left in range(depth):
        right = facts[left + depth] if left + depth < len(facts) else ("", "")
        rows.append(Row(((muted(facts[left][0]),), facts[left][1], "", (muted(right[0]),), right[1]), keep_with_next=True))
    return Table(columns, tuple(rows), _FACT_STYLE)


def _checks(sheet: CalculationSheet, block: SubjectBlock) -> Table:
    rows: list[Row] = []
    for check in block.checks:
        rows.append(_check(sheet, block.tag, check))
        parts = shown_parts(check.message, check.parts)
        made = [_part(sheet, block.tag, check, part) for part in parts]
        # The last two stay on one page, and only the last has a line below it.
        rows += [*made[:-2], *(replace(row, keep_with_next=True) for row in made[-2:-1])]
        rows += [replace(row, is_ruled=True) for row in made[-1:]]
    return Table(_CHECK_COLUMNS, tuple(rows), _CHECK_STYLE)


def _check(sheet: CalculationSheet, tag: str, check: CheckRow) -> Row:
    title: list[Run] = [strong(check.title)]
    if check.at:
        title.append(Run(f", {check.at}"))
    message = without_tag(check.message, tag)
    words: Words = (*title, muted(f"\n{message}")) if message and message != check.title else tuple(title)
    section = short_section(check.section, sheet)
    compared = _compared(Cell(words), check.computed, check.relation, check.limit)
    has_parts = bool(shown_parts(check.message, check.parts))
    return Row((*compared, section, verdict_runs(check.verdict)), keep_with_next=has_parts, is_ruled=not has_parts)


def _part(sheet: CalculationSheet, tag: str, check: CheckRow, part: MethodLine) -> Row:
    name, said = part_text(part)
    said = without_tag(said, tag)
    words: Words = (Run(name), muted(f": {said}")) if name and said else (Run(name) if name else muted(said),)
    section = (muted(short_section(part.section, sheet)),)
    verdict = verdict_runs(way_verdict(part.verdict, check.verdict), is_part=True)
    compared = _compared(Cell(words, indent_mm=_PART_INDENT_MM), part.computed, part.relation, part.limit)
    return Row((*compared, section, verdict), is_ruled=False)


def _compared(words: Cell, computed: str, relation: str, limit: str) -> tuple[Words | Cell, ...]:
    """Return the cells of a requirement and its comparison; where nothing is compared the words take the room."""
    if computed and limit:
        return (words, computed, relation, limit)
    return (replace(words, span=4),)


def _steps(steps: Sequence[NumberedStep]) -> Iterator[Block]:
    """Yield a table for each step printed here, and one for each run of steps that stand elsewhere."""
    waiting: list[Row] = []
    for step in steps:
        if not step.is_first:
            waiting.append(_reference(step))
            continue
        if waiting:
            yield Table(_STEP_COLUMNS, tuple(waiting), _STEP_STYLE)
            waiting = []
        rows = (_step_title(step), *_equation(step), *_inputs(step))
        yield Table(_STEP_COLUMNS, rows, _STEP_STYLE)
    if waiting:
        yield Table(_STEP_COLUMNS, tuple(waiting), _STEP_STYLE)


def _step_number(step: NumberedStep) -> Words:
    return (muted(f"[{step.number}]"),)


def _step_title(step: NumberedStep) -> Row:
    text = step.text
    cells = (_step_number(step), Cell((strong(text.title),), span=4), Cell(text.section, align="right"))
    return Row(cells, kind="section", bookmark=step_bookmark(step.number))


def _equation(step: NumberedStep) -> list[Row]:
    """Set the equation on one line where it fits, otherwise one side a line with the signs of equation below each other."""
    left, *sides = equation_words(step.text)
    joined: list[Run] = []
    for side in sides:
        joined += [*([Run(" = ")] if joined else []), *side]
    rows: list[tuple[Run, ...]] = [tuple(joined)] if _fits(tuple(joined), _EQUATION_MM) else sides
    if not sides:
        return [Row(("", Cell(left, span=5)), kind="section")]
    has_room = _fits(left, _SYMBOL_MM - 1.6)
    made = [] if has_room else [Row(("", Cell(left, span=5)), kind="section")]
    for index, side in enumerate(rows):
        made.append(Row(("", left if has_room and index == 0 else "", "=", Cell(side, span=3)), kind="section"))
    return made


def _fits(words: Words, width_mm: float) -> bool:
    return len(flow_lines(spans_of(words, _STEP_STYLE.section), width_mm)) == 1


def _inputs(step: NumberedStep) -> list[Row]:
    """Return a row for each input. Those of a step stay on one page, of a long one the first two with its equation."""
    rows = [Row(("", Cell(symbol_words(given.symbol), span=2), given.value, given.title, given.origin)) for given in step.text.inputs]
    for use in step.uses:
        where: Words = (Run(f"step [{use.number}]", link=f"#{step_bookmark(use.number)}"),) if use.number else "computed"
        rows.append(Row(("", Cell(symbol_words(use.symbol), span=2), use.value, use.title, where)))
    kept = len(rows) - 1 if len(rows) <= _MOST_KEPT else 2
    return [*(replace(row, keep_with_next=True) for row in rows[:kept]), *rows[kept:]]


def _reference(step: NumberedStep) -> Row:
    text = step.text
    link = f"#{step_bookmark(step.number)}"
    cells = (Cell(symbol_words(text.symbol), span=2), (strong(text.result),), text.title, f"under {step.tag}")
    return Row(((Run(f"[{step.number}]", link=link),), *cells))


def _readings(sheet: CalculationSheet, number: int) -> Iterator[Block]:
    key, title = LAST_SECTION
    yield Heading(f"{number}{_WIDE_SPACE}{title}", 0, key)
    yield Paragraph(readings_note(sheet), "small", measure_mm=0.0)
    rows = tuple(Row((section, doubt)) for section, doubt in sheet.doubts)
    yield Table((Column("Section", width_mm=42.0), Column("To confirm")), rows)
