"""The field checklist on paper, for a clipboard: the same lines as the page for the phone, with room to write."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from permitgen.documents.canvas.blocks import Block, Bullets, Facts, Heading, Note, Paragraph, Title
from permitgen.documents.canvas.flow import Format, Running, flow_pages
from permitgen.documents.canvas.table import Column, Table, TableStyle
from permitgen.documents.checklist_rows import INTRO, checklist_rows, steps_text
from permitgen.documents.titled_pdf import titled_pdf

if TYPE_CHECKING:
    from permitgen.documents.canvas.typography import Words
    from permitgen.views.field_checklist import ChecklistSection, FieldChecklist

_COMPACT = TableStyle(pad_y_mm=0.6)


def checklist_pdf(view: FieldChecklist) -> bytes:
    """Return ``field_checklist.pdf``."""
    title = view.title
    page_format = Format(
        left_mm=18.0, right_mm=16.0, top_mm=22.0, bottom_mm=20.0, header=partial(_header, view), footer=partial(_footer, view)
    )
    columns = (Column("Check", share=1.0), Column("Found", width_mm=46.0), Column("By, date", width_mm=17.0))
    blocks = [*_front(view), Table(columns, checklist_rows(view), style=_COMPACT)]
    blocks += [block for section in view.instructions for block in _instructions(section)]
    pages = flow_pages(blocks, page_format)
    return titled_pdf("Field checklist", title, view.document_id, pages)


def _header(view: FieldChecklist, _number: int, _count: int) -> Running:
    return Running(left=f"Field checklist · {view.title.project}", right=view.title.number)


def _footer(view: FieldChecklist, number: int, count: int) -> Running:
    title = view.title
    return Running(left=f"Revision {title.revision} · {title.edition} · Document ID {view.document_id}", right=f"Page {number} of {count}")


def _front(view: FieldChecklist) -> list[Block]:
    title = view.title
    facts: list[tuple[Words, Words]] = [
        ("Address", title.address),
        ("Jurisdiction", title.jurisdiction),
        ("Permit", title.permit_number),
        ("Revision", f"{title.revision} of {title.revision_date}" if title.revision_date else title.revision),
        ("Entries to make", str(view.entries)),
        ("Done by, tool numbers, dates", ""),
    ]
    blocks: list[Block] = [
        Title("Field checklist", title.project),
        Facts(tuple(fact for fact in facts if fact[1] or fact[0] == facts[-1][0])),
    ]
    if title.has_violations:
        blocks.append(Note(f"{title.status} Do not build from these documents before that is settled.", "violation"))
    blocks += [Paragraph(INTRO), Heading("Before you start", 1), Bullets(title.cautions)]
    blocks.append(Paragraph(f"Where lines come from: {'; '.join(f'{basis}, {words}' for basis, words in view.bases)}.", "small"))
    blocks.append(Paragraph(title.deference, "small"))
    return blocks


def _instructions(section: ChecklistSection) -> list[Block]:
    return [Heading(section.title, 1), Paragraph(section.intro, "small", leads_in=True), Paragraph(steps_text(section), "small")]
