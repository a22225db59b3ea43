"""The field checklist on paper, for a clipboard: the same lines as the page for the phone, with room to write."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from permitgen.documents.canvas.blocks import Block, Bullets, Facts, Heading, Note, Paragraph, Title
from permitgen.documents.canvas.flow import Format, Running, flow_pages
from permitgen.documents.canvas.page import Document
from permitgen.documents.canvas.table import Cell, Column, Row, Table
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.canvas.typography import Run, Words, muted, strong

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.views.field_checklist import ChecklistLine, ChecklistSection, FieldChecklist
    from permitgen.views.limits import LimitCard, LimitsPage

_ROW_MM = 9.0
_INTRO = (
    "A line without an entry is not done; it is never a pass. Write “not tested” with the reason where a test "
    "could not be made. Strike a wrong entry through once, so that it stays readable, and write the new one beside it."
)


def checklist_pdf(view: FieldChecklist) -> bytes:
    """Return ``field_checklist.pdf``."""
    title = view.title
    page_format = Format(header=partial(_header, view), footer=partial(_footer, view))
    blocks = [*_front(view), *(block for number, section in enumerate(view.sections, 1) for block in _section(number, section))]
    blocks += _limits(view.limits) if view.limits is not None else []
    pages = flow_pages(blocks, page_format)
    subject = f"{title.edition}, revision {title.revision}, Document ID {view.document_id}"
    return pdf_bytes(Document(pages, title=f"Field checklist, {title.project}", subject=subject, author=title.contractor))


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
        ("Edition", title.edition),
        ("Permit", title.permit_number),
        ("Revision", f"{title.revision} of {title.revision_date}" if title.revision_date else title.revision),
        ("Document ID", view.document_id),
        ("Lines", str(len(view.lines))),
        ("Done by, tool numbers, dates", ""),
    ]
    blocks: list[Block] = [
        Title("Field checklist", title.project),
        Facts(tuple(fact for fact in facts if fact[1] or fact[0] == facts[-1][0])),
    ]
    if title.has_violations:
        blocks.append(Note(f"{title.status} Do not build from these documents before that is settled.", "violation"))
    blocks += [Paragraph(_INTRO), Heading("Before you start", 1), Bullets(title.cautions)]
    blocks += [Heading("Where lines come from", 1), Facts(tuple((basis, words) for basis, words in view.bases), name_width_mm=18.0)]
    blocks.append(Paragraph(title.deference, "small"))
    return blocks


def _section(number: int, section: ChecklistSection) -> list[Block]:
    blocks: list[Block] = [Heading(f"{number}. {section.title}", 0, begins_page=number == 1)]
    if section.intro:
        blocks.append(Paragraph(section.intro, leads_in=True))
    columns = (Column("Check", share=2.3), Column("Expected", share=1.0), Column("Found", width_mm=38.0), Column("By, date", width_mm=22.0))
    blocks.append(Table(columns, tuple(_rows(section))))
    return blocks


def _rows(section: ChecklistSection) -> Sequence[Row]:
    rows: list[Row] = []
    group = ""
    for number, line in enumerate(section.lines, 1):
        if line.group and line.group != group:
            rows.append(Row((Cell(f"{line.group_title}{'   ' + line.place if line.place else ''}", span=4),), kind="section"))
        group = line.group
        rows.append(Row((_what(line, number if section.steps else 0), _expected(line), _found(line), ""), least_height_mm=_ROW_MM))
    return rows


def _what(line: ChecklistLine, number: int) -> Words:
    lead = f"{number}  " if number else ""
    runs = [strong(f"{lead}{line.tag}  ")] if (line.tag and not line.group) or lead else []
    runs.append(Run(line.instruction))
    small = [
        line.proof.text if line.proof is not None else "",
        line.why,
        "" if line.group else line.place,
        f"[{line.basis}] {line.source}".strip(),
        "photo" if line.photo else "",
    ]
    runs.append(muted("\n" + " · ".join(part for part in small if part)))
    return tuple(runs)


def _expected(line: ChecklistLine) -> Words:
    if line.expected and line.limit:
        return (strong(line.expected), Run(f" {line.limit}"))
    return (strong(line.expected),) if line.expected else line.limit


def _found(line: ChecklistLine) -> Words:
    kind = line.rule.kind
    if kind == "done":
        return "☐ yes   ☐ no"
    if kind == "match":
        return "☐ as drawn   ☐ other:"
    further = "".join(f"{i.label}: ________ {i.unit}\n" for i in line.inputs)
    return f"{further}________ {line.unit}" if line.unit else "________________"


def _limits(page: LimitsPage) -> list[Block]:
    columns = (
        Column("What was tried", share=1.0),
        Column("Passes", share=1.1),
        Column("Passes, approval needed", share=0.9),
        Column("Does not, and why", share=2.2),
    )
    rows = tuple(row for card in page.cards for row in _card_rows(card))
    return [
        Heading(page.title, 0, begins_page=True),
        Paragraph(page.revision),
        Note(" ".join(page.cautions), "caution"),
        Table(columns, rows),
    ]


def _card_rows(card: LimitCard) -> Sequence[Row]:
    state = f" ({card.state})" if card.state else ""
    rows = [Row((Cell(f"{card.tag}   {card.name}{state}", span=4),), kind="section")]
    rows += [Row((Cell(sentence, span=4),)) for sentence in (*card.violated, card.note) if sentence]
    for line in card.lines:
        what = (strong(line.what), Run(f": {line.now}"))
        if line.said_at:
            rows.append(Row((what, Cell(f"as at {line.said_at}", span=3))))
            continue
        rows.append(Row((what, line.passes, line.with_approval, (muted("\n".join(line.refused)),))))
    return rows
