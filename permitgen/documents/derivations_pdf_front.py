"""The front of the derivations PDF: title block, standing, cautions, contents, and the sections that sum the sheet up."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.documents.calculation_steps import FRONT_SECTIONS, LAST_SECTION
from permitgen.documents.calculation_wording import (
    ASSUMPTIONS_NOTE,
    CHOICES_NOTE,
    NOTHING_ASSUMED,
    NOTHING_CHOSEN,
    standing_mark,
    title_facts,
    without_tag,
)
from permitgen.documents.canvas.blocks import Block, Facts, Heading, Note, Paragraph, Title
from permitgen.documents.canvas.colors import INK
from permitgen.documents.canvas.styles import points
from permitgen.documents.canvas.table import Column, Row, Table, TableStyle
from permitgen.documents.canvas.typography import Run, Words, muted, strong
from permitgen.documents.derivations_pdf_findings import finding_blocks
from permitgen.documents.derivations_pdf_words import verdict_runs
from permitgen.documents.fonts.faces import SANS, SANS_SEMIBOLD

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from permitgen.documents.calculation_steps import NumberedGroup
    from permitgen.views.calculation_sheet import CalculationSheet, CircuitRow

_COUNT_STYLE = TableStyle(section=points(SANS_SEMIBOLD, 16, INK), text=points(SANS, 9, INK), leading_mm=5.4, pad_y_mm=0.0, rules="none")
_CAUTION_STYLE = TableStyle(text=points(SANS, 9, INK), leading_mm=4.6, pad_x_mm=0.0, pad_y_mm=0.2, rules="none")
_CONTENTS_STYLE = TableStyle(text=points(SANS, 8.5, INK), pad_y_mm=0.4)


def front_blocks(sheet: CalculationSheet, groups: Sequence[NumberedGroup], page_of: Mapping[str, int]) -> list[Block]:
    """Return the blocks before the subjects; ``page_of`` maps bookmarks to page numbers as far as they are known."""
    return [
        *_title_page(sheet, groups, page_of),
        _section(1),
        *finding_blocks(sheet, groups, page_of),
        _section(2),
        *_choices(sheet, groups),
        _section(3),
        *_assumptions(sheet),
        _section(4),
        _circuits(sheet, groups, page_of),
    ]


def _section(number: int) -> Heading:
    key, title = FRONT_SECTIONS[number - 1]
    return Heading(f"{number}\u00a0\u00a0{title}", 0, key)


def _title_page(sheet: CalculationSheet, groups: Sequence[NumberedGroup], page_of: Mapping[str, int]) -> Iterator[Block]:
    title = sheet.title
    yield Title("Derivations", (Run(title.project, "strong", color=INK),))
    if title.description:
        yield Paragraph(title.description, measure_mm=0.0)
    yield Facts(title_facts(sheet.title, sheet.document_id), columns=2, name_width_mm=27.0)
    kind, label = standing_mark(sheet.title, sheet.counts)
    yield Note(title.status, kind, label)
    yield _counts(sheet)
    yield Heading("Cautions", 1, "cautions", in_outline=False)
    yield Table((Column(width_mm=6.0), Column()), tuple(Row(("•", caution)) for caution in title.cautions), _CAUTION_STYLE)
    yield Note(title.deference, "note")
    yield Heading("Contents", 1, "contents", in_outline=False)
    yield _contents(sheet, groups, page_of)


def _counts(sheet: CalculationSheet) -> Table:
    numbers = Row(tuple(str(count) for _, count in sheet.counts), kind="section")
    words = Row(tuple(verdict_runs(verdict, is_part=True) for verdict, _ in sheet.counts))
    return Table(tuple(Column() for _ in sheet.counts), (numbers, words), _COUNT_STYLE)


def _contents(sheet: CalculationSheet, groups: Sequence[NumberedGroup], page_of: Mapping[str, int]) -> Table:
    rows = [_contents_row(number, key, title, "", page_of) for number, (key, title) in enumerate(FRONT_SECTIONS, start=1)]
    for group in groups:
        tags: list[Run] = []
        for numbered in group.blocks:
            tags += [*([muted(" · ")] if tags else []), Run(numbered.block.tag.replace(" ", "\u00a0"), link=f"#{numbered.bookmark}")]
        rows.append(_contents_row(group.number, group.bookmark, group.title, tuple(tags), page_of))
    if sheet.doubts:
        rows.append(_contents_row(len(rows) + 1, *LAST_SECTION, "", page_of))
    columns = (Column(width_mm=7.0), Column(width_mm=52.0), Column(), Column(width_mm=14.0, align="right"))
    kept = (*rows[:-3], *(replace(row, keep_with_next=True) for row in rows[-3:-1]), *rows[-1:])
    return Table(columns, kept, _CONTENTS_STYLE)


def _contents_row(number: int, key: str, title: str, subjects: Words, page_of: Mapping[str, int]) -> Row:
    return Row((str(number), (Run(title, link=f"#{key}", color=INK),), subjects, str(page_of.get(key, ""))))


def _choices(sheet: CalculationSheet, groups: Sequence[NumberedGroup]) -> Iterator[Block]:
    if not sheet.choices:
        yield Paragraph(NOTHING_CHOSEN)
        return
    yield Paragraph(CHOICES_NOTE, "small", measure_mm=0.0)
    links = _links(groups)
    rows = tuple(
        Row(
            (
                _tag_words(choice.tag, links),
                choice.what,
                (strong(choice.chosen),),
                choice.refused or "–",
                without_tag(choice.reason, choice.tag),
            )
        )
        for choice in sheet.choices
    )
    columns = (
        Column("Tag", width_mm=16.0),
        Column("What", width_mm=48.0),
        Column("Chosen", width_mm=23.0),
        Column("Next down", width_mm=20.0),
        Column("Rule it fails"),
    )
    yield Table(columns, rows)


def _assumptions(sheet: CalculationSheet) -> Iterator[Block]:
    if not sheet.assumptions:
        yield Paragraph(NOTHING_ASSUMED)
        return
    yield Paragraph(ASSUMPTIONS_NOTE, "small", measure_mm=0.0)
    columns = (Column("Quantity", share=1.2), Column("Value", width_mm=26.0, align="point"), Column("Reason"))
    yield Table(columns, tuple(Row((row.title, row.value, row.reason)) for row in sheet.assumptions))


def _circuits(sheet: CalculationSheet, groups: Sequence[NumberedGroup], page_of: Mapping[str, int]) -> Table:
    links = _links(groups)
    columns = (
        Column("Tag", width_mm=12.0),
        Column("Circuit, path, kind"),
        Column("Overcurrent device", width_mm=30.0),
        Column("Conductors", width_mm=35.0),
        Column("Run", width_mm=26.0),
        Column("Verdict", width_mm=23.0),
        Column("Page", width_mm=8.0, align="right"),
    )
    return Table(columns, tuple(_circuit(row, links, page_of) for row in sheet.circuits))


def _circuit(row: CircuitRow, links: Mapping[str, str], page_of: Mapping[str, int]) -> Row:
    words = (strong(row.name), muted(f"\n{row.path}\n{row.role}"))
    page = page_of.get(links.get(row.tag, ""), "")
    return Row((_tag_words(row.tag, links), words, row.device, row.conductors, row.raceway, verdict_runs(row.verdict), str(page)))


def _links(groups: Sequence[NumberedGroup]) -> dict[str, str]:
    """Return the bookmark of the first block of each tag."""
    links: dict[str, str] = {}
    for group in groups:
        for numbered in group.blocks:
            links.setdefault(numbered.block.tag, numbered.bookmark)
    return links


def _tag_words(tag: str, links: Mapping[str, str]) -> Words:
    return (Run(tag, "strong", link=f"#{links[tag]}"),) if tag in links else (strong(tag),)
