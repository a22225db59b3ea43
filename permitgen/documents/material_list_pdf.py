"""The material list on paper: letter on its long side, one table a kind of material, what is left out and why."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from permitgen.documents.calculation_pdf_blocks import SCALE
from permitgen.documents.canvas.blocks import Block, Heading, Note, Paragraph, Title
from permitgen.documents.canvas.flow import Format, Running, flow_pages
from permitgen.documents.canvas.page import LETTER
from permitgen.documents.canvas.table import Column, Row, Table, TableStyle
from permitgen.documents.canvas.typography import strong
from permitgen.documents.titled_pdf import page_footer, page_header, titled_pdf
from permitgen.views.material_list import COUNTED

if TYPE_CHECKING:
    from permitgen.documents.canvas.typography import Words
    from permitgen.views.material_equipment import MaterialRow
    from permitgen.views.material_list import MaterialList, MaterialSection

_PAPER = Format(paper=LETTER.turned(), left_mm=14.0, right_mm=14.0, top_mm=18.0, bottom_mm=17.0, scale=SCALE)
_MEASURE_MM = 230.0
_TIGHT = TableStyle(text=SCALE.table, head=SCALE.table_head, section=SCALE.table_section, leading_mm=SCALE.table_leading_mm, pad_y_mm=0.55)


def material_list_pdf(view: MaterialList) -> bytes:
    """Return ``material_list.pdf``.

    Raises MissingGlyphError when a text of the project holds a character that cannot be printed.
    """
    page_format = replace(_PAPER, header=partial(_header, view), footer=partial(page_footer, view.title, view.document_id))
    return titled_pdf("Material list", view.title, view.document_id, flow_pages(_blocks(view), page_format))


def _header(view: MaterialList, _number: int, _count: int) -> Running:
    return page_header(_PAPER, view.title, "Material list", view.title.number)


def _blocks(view: MaterialList) -> list[Block]:
    title = view.title
    where = " · ".join(part for part in (title.address, title.edition, f"revision {title.revision}") if part)
    blocks: list[Block] = [Title("Material list", f"{title.project} · {where}")]
    if title.has_violations:
        blocks.append(Note(f"{title.status} Do not order from this list before that is settled.", "violation"))
    blocks += [Note(view.allowance), Paragraph(COUNTED, "small", measure_mm=_MEASURE_MM)]
    for section in view.sections:
        blocks += [Heading(section.title, 1), _table(section)]
    if view.left_out:
        columns = (Column("TAG", width_mm=34.0), Column("WHAT", share=1.0), Column("WHY", share=1.2))
        blocks += [Heading("Not counted", 1), Table(columns, tuple(Row(row) for row in view.left_out), _TIGHT)]
    return blocks


def _table(section: MaterialSection) -> Table:
    amounts = (
        (Column("STATED", width_mm=25.0, align="right"), Column("TO ORDER", width_mm=22.0, align="right"))
        if section.by_length
        else (Column("PIECES", width_mm=20.0, align="right"),)
    )
    columns = (Column("ITEM", share=1.3), Column(section.size, share=0.9), Column(section.detail, share=1.15), *amounts)
    return Table((*columns, Column("LEADS TO", share=1.75)), tuple(_row(row, section) for row in section.rows), _TIGHT)


def _row(row: MaterialRow, section: MaterialSection) -> Row:
    stated: Words = row.quantity_text
    if row.quantity is not None:
        stated = (strong(f"{row.quantity_text} +" if row.is_open else row.quantity_text),)
    amounts: tuple[Words, ...] = (stated, (strong(row.order_text),)) if section.by_length else (stated,)
    return Row((row.item, row.size, row.detail, *amounts, row.leads_to))
