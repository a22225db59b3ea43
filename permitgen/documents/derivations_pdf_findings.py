"""The open findings of the derivations PDF: each with both numbers, section, the ways tried, what passes, and its places."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.documents.calculation_steps import block_of
from permitgen.documents.calculation_wording import (
    MARKS,
    NOTHING_OPEN,
    finding_message,
    finding_places,
    open_findings_by_verdict,
    part_text,
    short_section,
    shown_parts,
    without_tag,
)
from permitgen.documents.canvas.blocks import Block, Heading, Note, Together
from permitgen.documents.canvas.table import Cell, Column, Row, Table, TableStyle
from permitgen.documents.canvas.typography import Run, Words, muted, strong
from permitgen.documents.derivations_pdf_words import separating_rule, verdict_runs
from permitgen.views.findings import way_verdict

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from permitgen.documents.calculation_steps import NumberedGroup
    from permitgen.views.calculation_sheet import CalculationSheet
    from permitgen.views.findings import FindingText, MethodLine

_COLUMNS = (
    Column(width_mm=22.0),
    Column(),
    Column(width_mm=22.0, align="point"),
    Column(width_mm=5.0, align="center"),
    Column(width_mm=22.0, align="point"),
    Column(width_mm=25.0),
    Column(width_mm=24.0),
)
_MOST_KEPT = 6
"""A finding with more ways or parts than these may break across pages."""
_STYLE = TableStyle(pad_y_mm=0.35, rules="none")


def finding_blocks(sheet: CalculationSheet, groups: Sequence[NumberedGroup], page_of: Mapping[str, int]) -> Iterator[Block]:
    """Yield the open findings, violations first."""
    kinds = open_findings_by_verdict(sheet)
    if not kinds:
        yield Note(NOTHING_OPEN, "passes", MARKS["passes"])
    for verdict, heading, findings in kinds:
        yield Heading((*verdict_runs(verdict)[:1], Run(f"{heading}: {len(findings)}")), 1, f"findings_{verdict}")
        for finding in findings:
            rows = _finding(sheet, finding, groups, page_of)
            last_rows = (replace(row, keep_with_next=finding is not findings[-1]) for row in rows[-1:])
            table = Table(_COLUMNS, (*rows[:-1], *last_rows), _STYLE)
            yield table if len(finding.methods) > _MOST_KEPT else Together((table,))
            if finding is not findings[-1]:
                yield separating_rule()


def _finding(sheet: CalculationSheet, finding: FindingText, groups: Sequence[NumberedGroup], page_of: Mapping[str, int]) -> list[Row]:
    block = block_of(finding, groups)
    tag, _, at = finding.subject.partition("@")
    link = f"#{block.bookmark}" if block is not None else ""
    title = (strong(finding.title), *((Run(f", {at}"),) if at else ()))
    rows = [
        Row(((Run(tag, "strong", link),), Cell(title, span=4), short_section(finding.section, sheet), verdict_runs(finding.verdict))),
        *_message(finding),
        *(_way(sheet, finding, part, tag) for part in shown_parts(finding.message, finding.methods)),
        *_labeled("Missing", finding.missing),
        *_labeled("Passes with", finding.suggestions),
        *_labeled("Entered in", (" · ".join(finding_places(finding)),)),
    ]
    if block is not None:
        page = f", page {page_of[block.bookmark]}" if block.bookmark in page_of else ""
        rows += _labeled("Derivation", ((Run(f"{block.block.tag}{page}", link=link),),))
    return [*(replace(row, keep_with_next=True) for row in rows[:3]), *rows[3:]]


def _message(finding: FindingText) -> list[Row]:
    message = finding_message(finding)
    rows = [Row(("", Cell(message, span=6)))] if message else []
    return [*rows, *_labeled("Computed", ((strong(finding.comparison),) if finding.comparison else "",))]


def _way(sheet: CalculationSheet, finding: FindingText, part: MethodLine, tag: str) -> Row:
    name, said = part_text(part)
    said = without_tag(said, tag)
    words: Words = (Run(name), muted(f": {said}")) if name and said else (Run(name or said),)
    section, verdict = short_section(part.section, sheet), verdict_runs(way_verdict(part.verdict, finding.verdict), is_part=True)
    if part.computed:
        return Row(("", words, part.computed, part.relation, part.limit, (muted(section),), verdict))
    return Row(("", Cell(words, span=4), (muted(section),), verdict))


def _labeled(label: str, lines: Sequence[Words]) -> list[Row]:
    """Return one row a line, the label beside the first; nothing where every line is empty."""
    shown = [line for line in lines if line]
    return [Row(((muted(label if index == 0 else ""),), Cell(line, span=6))) for index, line in enumerate(shown)]
